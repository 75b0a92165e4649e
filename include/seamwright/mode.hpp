// The modes of metal transfer.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace seamwright {

enum class Mode : std::uint8_t { short_arc, controlled_dip, spray, pulse, double_pulse };
inline constexpr std::size_t mode_count = 5;
[[nodiscard]] std::string_view mode_key(Mode mode);  // "short-arc", ...
[[nodiscard]] std::optional<Mode> mode_by_key(std::string_view key);
[[nodiscard]] constexpr bool is_dip(Mode m) { return m == Mode::short_arc || m == Mode::controlled_dip; }
[[nodiscard]] constexpr bool is_pulsed(Mode m) { return m == Mode::pulse || m == Mode::double_pulse; }

}  // namespace seamwright

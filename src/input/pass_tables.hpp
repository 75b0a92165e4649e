// Tables of a joint that speak of single passes: [pass.root], [pass.3] and their keys.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "seamwright/joint.hpp"

namespace seamwright {

// A key of such a table, and the key of the joint that says the same of all passes.
struct PassKey {
  std::string_view key;   // "wire"
  std::string_view path;  // "wire.designation"
};
[[nodiscard]] std::span<const PassKey> pass_keys();
// Of the joint: "wire.designation" for "wire"; empty: none.
[[nodiscard]] std::string_view joint_path_of(std::string_view pass_key);
[[nodiscard]] std::string_view pass_key_of(std::string_view joint_path);

// Sorted as they are laid over each other.
void sort_passes(Joint& joint);
// The table of such a pass, added where there is none; `place` of a new one.
[[nodiscard]] PassTable& pass_table(Joint& joint, PassTableKind kind, int number, const Place& place);

// The words that name passes: root, fill, hot, cap, back.
struct PassWord {
  PassTableKind kind;
  std::string_view key;
};
[[nodiscard]] std::span<const PassWord> pass_words();

inline constexpr int most_pass_number = 60;  // and so a set of tables is a word of bits

// "root.mode" taken apart; nothing where the name is no pass's.
struct PassPath {
  PassTableKind kind = PassTableKind::root;
  int number = 0;
  std::string_view key;  // below the table; empty: the table itself
};
[[nodiscard]] std::optional<PassPath> read_pass_path(std::string_view below_pass);

// Every key of the tables in full, with a number in place of the pass: "pass.root.mode", "pass.2.mode".
[[nodiscard]] std::span<const std::string_view> pass_key_paths();

// Whether two tables say the same, wherever they stand.
[[nodiscard]] bool say_the_same(const ProcessInput& a, const ProcessInput& b);

// Bit i: the i-th table of the joint.
using PassTableSet = std::uint64_t;
// What is said of the whole joint, with what these tables say in its place, into `out`, whose memory is used again. It
// has no tables of its own.
void joint_of_pass(const Joint& joint, PassTableSet tables, Joint& out);

}  // namespace seamwright

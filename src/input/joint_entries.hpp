// A joint from entries already taken apart: what a job list and the joint file have in common.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "input/value_reader.hpp"
#include "seamwright/diagnostic.hpp"
#include "seamwright/input.hpp"
#include "seamwright/joint.hpp"

namespace seamwright {

// Checks and stores; all errors at once. `name` stands for the source in messages. The joint is whole where there are
// no errors; what it held before is gone.
[[nodiscard]] Diagnostics joint_from_entries(const std::string& name, std::span<const Entry* const> entries,
                                             const Catalog& catalog, Joint& joint);

// What is wrong with single entries: nothing of what is missing or goes together.
[[nodiscard]] Diagnostics faults_of_entries(std::span<const Entry* const> entries, const Catalog& catalog);

// The tables of a joint file opened into entries, in the place of those that were there.
void joint_entries(const TomlValue& document, const std::string& name, KeptList<Entry>& entries);

// Whether a key is one of the key table, of [limits], or of a composition.
[[nodiscard]] bool is_joint_key(std::string_view path);
// Whether its value is a table of keys: an analysis, a gas by composition, limits.
[[nodiscard]] bool is_table_key(std::string_view path);
// Whether its value is words, whatever they look like.
[[nodiscard]] bool is_text_key(std::string_view path);
// Whether its value is a text of the user's own, that no list of words stands behind.
[[nodiscard]] bool is_free_text_key(std::string_view path);
// The known key nearest to a wrong one; empty when none is near.
[[nodiscard]] std::string_view nearest_joint_key(std::string_view path);

// The value that KEY=VALUE means: TOML, else a bare word.
[[nodiscard]] TomlValue value_from_text(const std::string& text);

// Whether `path` is a key below the table.
[[nodiscard]] bool is_below(std::string_view path, std::string_view table);

}  // namespace seamwright

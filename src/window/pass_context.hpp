// Building the numbers that each pass needs.
#pragma once

#include "seamwright/case.hpp"
#include "seamwright/kept_list.hpp"

namespace seamwright {

// The numbers of each pass of a settled case, in welding order.
[[nodiscard]] KeptList<PassContext> pass_contexts(const Case& resolved);
// That of one pass (index), into memory that is used again.
void fill_context(const Case& resolved, std::size_t pass, PassContext& context);

}  // namespace seamwright

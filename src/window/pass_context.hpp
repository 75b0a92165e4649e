// Building the numbers that each pass needs.
#pragma once

#include "seamwright/case.hpp"
#include "seamwright/kept_list.hpp"

namespace seamwright {

// The numbers of each pass of a settled case, in welding order.
[[nodiscard]] KeptList<PassContext> pass_contexts(const Case& resolved);
// That of the next pass, into memory that is used again.
void add_pass_context(const Case& resolved, KeptList<PassContext>& contexts);

}  // namespace seamwright

#include "seamwright/sheet_content.hpp"

#include <algorithm>

namespace seamwright {

SheetContent sheet_content(const Plan& plan) {
  SheetContent content;
  for (std::size_t i = 1; i < plan.passes.size(); ++i)
    if (plan.passes[i].window.band.best_surety < plan.passes[content.pass].window.band.best_surety) content.pass = i;
  const PassContext& context = plan.contexts[content.pass];
  const PassResult& pass = plan.passes[content.pass];
  constexpr int columns = 64, rows = 48;
  content.map = window_map(context, pass, columns, rows);
  const Influences influence = influences(context, pass.window.band.best);
  for (std::size_t k = 0; k < model_constant_count; ++k) {
    const Constant& constant = context.constants[k];
    const auto& depends = influence.depends[k];
    const bool counts = constant.half_width_90 > 0 && std::find(depends.begin(), depends.end(), true) != depends.end();
    const bool known =
        std::find(content.sources.begin(), content.sources.end(), constant.source) != content.sources.end();
    if (counts && !known && constant.source != 0) content.sources.push_back(constant.source);
  }
  return content;
}

}  // namespace seamwright

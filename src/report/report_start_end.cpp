// How a weld is begun, ended and tacked.
#include <algorithm>
#include <set>
#include <string>

#include "report/report_parts.hpp"

namespace seamwright {
namespace {

constexpr std::string_view share_of_current = "% of the welding current";  // as the data write it

bool fits(const StartEndRow& row, const Alloy& alloy, double thickness_mm) {
  if (!(thickness_mm > row.over_mm && thickness_mm <= row.to_mm)) return false;
  const std::string main_group = "group " + std::string(alloy.group.substr(0, alloy.group.find('.')));
  bool here = false;
  for_each_item(row.applies_to, [&](std::string_view item) {
    here = here || item == "any" || item == family_key(alloy.family) || item == main_group;
  });
  return here;
}

}  // namespace

const StartEndRow* start_end_row(const Catalog& catalog, std::string_view setting, const Alloy& alloy,
                                 double thickness_mm) {
  for (const StartEndRow& row : catalog.start_end)
    if (row.setting == setting && fits(row, alloy, thickness_mm)) return &row;
  return nullptr;
}

void report_start_end(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  const Case& c = plan.resolved;
  if (passes.empty()) return;
  SectionBuilder b(*c.catalog, start_end_section, "Start, end and tacks");
  const double thinner_mm = std::min(c.section.thickness_mm, c.thickness2_mm);
  const double current_A = passes.front().at[F::current];
  std::string_view last;
  for (const StartEndRow& any : c.catalog->start_end) {
    if (any.setting == last) continue;
    last = any.setting;
    const StartEndRow* row = start_end_row(*c.catalog, any.setting, *c.alloy, thinner_mm);
    if (row == nullptr) continue;
    HeatItem& item = b.words(std::string(row->setting), std::string(row->label), {});
    item.low = row->low;
    item.high = row->high;
    item.source = row->source;
    if (row->unit == "mm") {
      item.like = F::bead_width;
    } else {
      item.unit = row->unit;
      item.decimals = row->unit.starts_with('%') ? 0 : 2;
    }
    if (row->unit == share_of_current)
      item.note = fmt::format("{:.0f} to {:.0f} A in the first pass", 0.01 * row->low * current_A,
                              0.01 * row->high * current_A);
  }
  report.push_back(b.take());
}

}  // namespace seamwright

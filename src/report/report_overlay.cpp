// An overlay's layers: dilution of a bead alone and of one laid over its neighbour, iron or chromium of the layers.
#include "report/report_parts.hpp"
#include "seamwright/heat_rules.hpp"
#include "seamwright/stainless.hpp"
#include "window/operating_point.hpp"

namespace seamwright {
void report_overlay(const Plan& plan, const ReportPasses& passes, HeatReport& report) {
  const Case& c = plan.resolved;
  if (passes.empty() || c.section.type != JointType::overlay) return;
  const ReportPass& pass = passes.front();
  const double dilution = 0.01 * pass.at[F::dilution], width = pass.at[F::bead_width];
  if (!(width > 0) || !applies(pass.at[F::dilution])) return;
  SectionBuilder b(*c.catalog, "overlay", "Layers of the overlay");
  const SourceIndex practice = b.source_of_range("overlay-dilution");
  const bool given = static_cast<bool>(c.joint.step_over_mm);
  const double step = given ? *c.joint.step_over_mm : pass.context->deposit.step_over_share * width;
  HeatItem& over = b.number("step_over", "step from bead to bead", step, F::bead_width);
  over.note = given ? fmt::format("as given; {:.0f} % of the melted width", 100 * step / width)
                    : fmt::format("{:.0f} % of the melted width; give joint.step_over to set it",
                                  100 * pass.context->deposit.step_over_share);
  if (!given) over.source = practice;
  FieldValues alone = pass.at;
  PassContext single = *pass.context;
  single.deposit.step_over_mm = width;  // beads side by side melt as much base metal as the first one
  alone = evaluate(single, nominal_values(single.constants), pass.result->window.band.best);
  b.number("dilution_first_bead", "dilution of the first bead", alone[F::dilution], F::dilution).note =
      "nothing to overlap yet";
  HeatItem& usual = b.number("dilution_overlapped", "dilution of the beads after it", 100 * dilution, F::dilution);
  const Interval wanted = heat_range(*c.catalog, "overlay-dilution");
  usual.note = fmt::format("over the bead before it the pool melts weld metal; {:.0f} to {:.0f} % is usual", wanted.low,
                           wanted.high);
  usual.source = practice;

  const WireMetal lays = wire_metal(*pass.welded->wire);
  const auto layer = [&](std::string_view what, std::string_view key, std::string_view which, double percent) {
    HeatItem& item =
        b.number(fmt::format("{}_{}", what, key), fmt::format("{} of the {} layer", what, which), percent, "%", 1);
    item.source = composition_source(*pass.welded);
    item.note = fmt::format("{:.0f} % of the layer below mixed into {}", 100 * dilution, pass.welded->wire->id);
  };
  if (applies(pass.at[F::iron_layer_1]) && (lays == WireMetal::stainless || lays == WireMetal::duplex)) {
    const double filler = pass.welded->wire->typical[Element::Cr], below = base_mixture(c)[Element::Cr];
    layer("chromium", "first_layer", "first", filler + dilution * (below - filler));
    layer("chromium", "second_layer", "second", filler + dilution * dilution * (below - filler));
  } else if (applies(pass.at[F::iron_layer_1])) {
    layer("iron", "first_layer", "first", pass.at[F::iron_layer_1]);
    layer("iron", "second_layer", "second", pass.at[F::iron_layer_2]);
  }
  if (100 * dilution > wanted.high)
    b.finding(
        "overlay-dilution",
        fmt::format("Dilution of {:.0f} % is above the {:.0f} to {:.0f} % usual on overlays: step over less, weld "
                    "with less current, or count on the second layer.",
                    100 * dilution, wanted.low, wanted.high),
        practice);
  report.push_back(b.take());
}

}  // namespace seamwright

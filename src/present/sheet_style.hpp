// How the sheet looks, its drawings and colours apart: they bring their own (drawing_style()). Pages are broken by the
// browser: a card keeps together as far as a page can hold it, its signatures stay with it, and details begin on a page
// of their own.
#pragma once

#include <string_view>

namespace seamwright {

inline constexpr std::string_view sheet_style = R"(
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; font: 8pt/1.25 "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
@page { margin: 10mm; }
@media print {
  .details { break-before: page; }
  section, figure, tr, .strip, .alarm, .sign { break-inside: avoid; }
  h2 { break-after: avoid; }
  .sign, .last { break-before: avoid; }
  .card + .card { margin-top: 9mm; padding-top: 4mm; border-top: 1px dashed var(--soft); }
}
@media screen {
  body { font-size: 13px; width: 980px; max-width: 100%; padding: 14px; }
  .wide { overflow-x: auto; }
  .card, .details { margin-bottom: 28px; }
}
@media screen and (max-width: 700px) { .row, header, .sign, .knobs { flex-direction: column; }
  .row > * { width: 100%; } .cautions { columns: 1 !important; } }
h1 { font-size: 15pt; margin: 0; line-height: 1.2; }
h2 { font-size: 1.15em; margin: 0.6em 0 0.1em; border-bottom: 1px solid var(--edge); }
p { margin: 0.15em 0; }
header { display: flex; justify-content: space-between; gap: 12px; border-bottom: 2px solid var(--ink);
  padding-bottom: 3px; margin-bottom: 4px; }
header p { color: var(--soft); }
header .right { text-align: right; white-space: nowrap; }
.row { display: flex; gap: 14px; align-items: flex-start; }
.row > * { flex: 1 1 0; min-width: 0; }
.strip { border: 1.5px solid var(--ink); padding: 3px 8px 4px; margin-top: 5px; }
.strip h2 { border: none; margin: 0; }
.knobs { display: flex; gap: 10px; }
.knobs > div { flex: 1 1 0; min-width: 0; border-left: 1px solid var(--rule); padding-left: 7px; }
.knobs > div:first-child { border: none; padding: 0; }
.knobs p { margin: 0; }
.value { font-size: 20pt; line-height: 1.15; font-weight: bold; white-space: nowrap; }
.value span { font-size: 10pt; font-weight: normal; }
.lock { font-size: 9pt; font-weight: bold; }
.label { color: var(--soft); }
.others { font-size: 9pt; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: 0.3px 5px 0.3px 0; vertical-align: top; border-bottom: 1px solid var(--rule); }
th { font-weight: normal; color: var(--soft); }
td.n, th.n { text-align: right; white-space: nowrap; }
td.set { font-weight: bold; text-align: right; white-space: nowrap; }
td.dial { font-weight: bold; white-space: nowrap; }
tbody th { color: var(--ink); }
.expect thead th { white-space: normal; }
.expect tbody th { white-space: nowrap; }
.alarm { border: 2px solid var(--alarm); color: var(--alarm); padding: 3px 6px; margin: 5px 0; }
.small-print { font-size: 6.5pt; line-height: 1.22; margin-top: 4px; color: var(--soft); }
.cautions { font-size: 7pt; line-height: 1.2; margin: 0; padding: 0; columns: 2; column-gap: 16px; list-style: none; }
.cautions li { margin-bottom: 1px; padding-left: 0.9em; break-inside: avoid; position: relative; }
.cautions li::before { content: "\2022"; position: absolute; left: 0; }
sup { vertical-align: baseline; position: relative; top: -0.35em; line-height: 0; font-size: 0.75em; }
.letters { columns: 2; column-gap: 8px; margin: 0; padding: 0; list-style: none; }
figure { margin: 0; }
figcaption { color: var(--soft); }
svg { display: block; width: 100%; height: auto; }
.sign { display: flex; gap: 14px; margin-top: 26px; }
.sign p { flex: 1; border-top: 1px solid var(--ink); color: var(--soft); }
)";

}  // namespace seamwright

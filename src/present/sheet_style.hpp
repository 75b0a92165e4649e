// How the sheet looks. Told apart by lightness, dash and letter, not by hue alone. Pages are broken by the browser: a
// card keeps together as far as a page can hold it, its signatures stay with it, and details begin on a page of their
// own.
#pragma once

#include <string_view>

namespace seamwright {

inline constexpr std::string_view sheet_style = R"(
:root { --paper: #fff; --ink: #16202a; --soft: #55616d; --rule: #c3cad1; --wash: #eef2f5; --region: #cfe0ee;
  --plate: #d5dade; --weld: #8fa9bf; --weld2: #b9cbda; --edge: #1f4f7a; --beyond: #8b98a4; --alarm: #8a2a12; }
@media screen and (prefers-color-scheme: dark) { :root { --paper: #14191e; --ink: #e8edf1; --soft: #a3afba;
  --rule: #46525d; --wash: #1f272e; --region: #24435c; --plate: #46515b; --weld: #6d93b3; --weld2: #4d7190;
  --edge: #9cc9ee; --beyond: #75828e; --alarm: #ffb199; } }
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
svg text { fill: var(--ink); font: 9px "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
svg .small { font-size: 8.4px; fill: var(--soft); }
svg .number, svg .tagtext { font-weight: bold; }
svg path { fill: none; }
.plate { fill: var(--plate) !important; stroke: var(--ink); stroke-width: 0.8; }
.weld { fill: var(--weld) !important; stroke: var(--ink); stroke-width: 0.8; }
.weld.other { fill: var(--weld2) !important; }
.bar { stroke: var(--ink); stroke-width: 2.4; }
.frame { fill: none; stroke: var(--soft); stroke-width: 0.8; }
.tick { stroke: var(--soft); stroke-width: 0.8; }
.region { fill: var(--region) !important; }
.edge { stroke: var(--edge); stroke-width: 2; }
.beyond { stroke: var(--beyond); stroke-width: 0.7; stroke-dasharray: 1.5 2.5; }
.band { stroke: var(--ink); stroke-width: 1.4; stroke-dasharray: 6 3; }
.box { fill: none; stroke: var(--ink); stroke-width: 1.4; }
.best { fill: var(--ink); }
.tag { fill: var(--paper); stroke: var(--edge); stroke-width: 1; }
.wave { stroke: var(--edge); stroke-width: 1.8; stroke-linejoin: round; }
.level { stroke: var(--soft); stroke-width: 0.7; stroke-dasharray: 3 3; }
.sign { display: flex; gap: 14px; margin-top: 26px; }
.sign p { flex: 1; border-top: 1px solid var(--ink); color: var(--soft); }
)";

}  // namespace seamwright

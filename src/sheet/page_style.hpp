// How the page is set.
#pragma once

#include <string_view>

namespace armwise::sheet {

// One A4 page of fixed size. Its pictures take the room that the words leave, so that it is always full and
// never more than one page; on a narrow screen it flows instead.
inline constexpr std::string_view page_style = R"css(
@page { size: A4; margin: 0; }
* { box-sizing: border-box; }
html { background: #e8e8e6; color: #1a1a1a; color-scheme: light; }
body {
  margin: 0; font-family: "Liberation Sans", Arimo, Helvetica, Arial, sans-serif; font-size: 8.4pt;
  line-height: 1.32; font-variant-numeric: tabular-nums;
}
main {
  display: flex; flex-direction: column; gap: 3.2mm; width: 210mm; height: 296.8mm; margin: 6mm auto;
  padding: 11mm 14mm 9mm; background: #fff; overflow-wrap: anywhere;
}
h1, h2, p, dl, dd, figure, ul, table { margin: 0; padding: 0; }
header { display: grid; grid-template-columns: 1fr auto; column-gap: 6mm; align-items: end; }
header p { color: #595959; }
h1 { font-size: 20pt; line-height: 1.1; font-weight: 700; letter-spacing: -0.01em; }
h1.long { font-size: 13pt; }
.eyebrow, h2 {
  font-size: 7.2pt; font-weight: 700; letter-spacing: 0.09em; text-transform: uppercase; color: #0072b2;
}
.running { text-align: right; }
.verdict {
  display: grid; grid-template-columns: 1.1fr 1.15fr 0.9fr 1.25fr; border-top: 0.5mm solid #1a1a1a;
  border-bottom: 0.25mm solid #8c8c8c;
}
.verdict > div { padding: 1.6mm 3mm 1.6mm 0; }
.verdict > div + div { border-left: 0.2mm solid #c4c4c4; padding-left: 3mm; }
.verdict dt { color: #595959; }
.verdict dd { font-size: 9.6pt; font-weight: 700; }
.verdict .whole dd { font-size: 13pt; line-height: 1.15; }
.verdict svg { width: 0.85em; height: 0.85em; margin-right: 0.4em; }
.pictures { display: grid; grid-template-columns: 1fr 1fr; gap: 6mm; flex: 1 1 0; min-height: 46mm; max-height: 108mm; }
figure { display: flex; flex-direction: column; min-height: 0; }
figcaption { flex: none; color: #595959; }
figcaption b { color: #1a1a1a; font-size: 10pt; margin-right: 0.5em; }
figure svg { flex: 1 1 0; min-height: 0; width: 100%; }
.columns { display: grid; grid-template-columns: 1fr 1fr; gap: 7mm; align-items: start; }
section h2 { padding-bottom: 0.8mm; border-bottom: 0.25mm solid #8c8c8c; margin-bottom: 0.8mm; }
.facts { display: grid; grid-template-columns: auto 1fr; column-gap: 3mm; row-gap: 0.35mm; }
.facts dt { color: #595959; }
.mark {
  display: inline-block; min-width: 1.5em; padding: 0 0.25em; margin-left: 0.45em; border: 0.2mm solid #8c8c8c;
  border-radius: 0.6mm; color: #404040; font-size: 6pt; font-weight: 400; line-height: 1.25; text-align: center;
  text-decoration: none; vertical-align: 0.08em;
}
table { width: 100%; border-collapse: collapse; }
th, td { padding: 0.45mm 2.5mm 0.45mm 0; text-align: left; vertical-align: baseline; font-weight: 400; }
th:last-child, td:last-child { padding-right: 0; }
thead th { color: #595959; border-bottom: 0.2mm solid #c4c4c4; }
tbody tr + tr > * { border-top: 0.15mm solid #e2e2e2; }
tbody th { font-weight: 700; }
.seen td:nth-child(-n + 3), .seen th:nth-child(-n + 3) { white-space: nowrap; }
.small { color: #595959; font-size: 0.9em; margin-top: 0.8mm; }
td.new { font-weight: 700; }
del { color: #595959; }
.notes ul { padding-left: 1.1em; }
footer { margin-top: auto; padding-top: 1.6mm; border-top: 0.25mm solid #8c8c8c; color: #404040; font-size: 7.2pt; }
footer code { font-family: "Liberation Mono", Cousine, monospace; font-size: 6.8pt; }
footer .only { color: #1a1a1a; font-weight: 700; }
.tight { font-size: 7.5pt; line-height: 1.24; }
.tight main { gap: 2.2mm; padding-top: 9mm; padding-bottom: 7mm; }
.tight th, .tight td { padding-top: 0.2mm; padding-bottom: 0.2mm; }
.tight footer { font-size: 6.8pt; }
.tightest { font-size: 7pt; line-height: 1.18; }
.tightest main { gap: 1.4mm; padding-top: 7mm; padding-bottom: 6mm; }
.tightest h1 { font-size: 11pt; }
@media print {
  html { background: none; }
  main { margin: 0; }
}
@media screen and (max-width: 216mm) {
  main { width: auto; height: auto; margin: 0; padding: 5vw; }
  .pictures { flex: none; max-height: none; }
  figure svg { flex: none; height: auto; }
}
@media screen and (max-width: 150mm) {
  .pictures, .columns, .verdict, header { grid-template-columns: 1fr; }
  .running { text-align: left; }
  .verdict > div + div { border-left: none; padding-left: 0; }
  body { font-size: 11pt; }
}
)css";

}  // namespace armwise::sheet

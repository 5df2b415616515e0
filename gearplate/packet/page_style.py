"""How the page is set: plain, in black and white where it is printed, on A4 or Letter.

The first sheet is whole for whoever cuts; the pictures follow, large: both plates over each other, then two a sheet.
"""

from __future__ import annotations

STYLE = """
:root { --line: #111; --grey: #5c5c5c; --red: #b3001b; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.2rem; max-width: 68rem; color: #111; background: #fff;
  font: 1rem/1.4 system-ui, "DejaVu Sans", Verdana, Arial, sans-serif; }
h1 { margin: 0; font-size: 1.7rem; overflow-wrap: anywhere; }
h2 { margin: 1.4rem 0 .4rem; padding-top: .4rem; font-size: 1.15rem; border-top: 2px solid var(--line); }
p { margin: .3rem 0; }
.banner { margin: .6rem 0; padding: .5rem .8rem; background: var(--red); color: #fff; font-weight: bold; }
table { width: 100%; border-collapse: collapse; }
th, td { padding: .3rem .5rem; text-align: left; vertical-align: top; border-bottom: 1px solid #bbb; }
th { font-size: .85rem; color: var(--grey); font-weight: normal; }
td { overflow-wrap: anywhere; } td.whole { overflow-wrap: break-word; }
.key { font-weight: bold; }
.big { font-size: 1.15rem; font-weight: bold; white-space: nowrap; }
.error { color: var(--red); font-weight: bold; }
.warning { color: #7a5200; font-weight: bold; }
.check, .fixed { white-space: nowrap; }
.note, .quiet { color: var(--grey); }
dl { margin: .3rem 0; } dl div { display: flex; gap: .8rem; margin: .15rem 0; }
dt { flex: 0 0 7rem; font-weight: bold; } dd { margin: 0; }
figure { margin: .6rem 0; } svg { display: block; width: 100%; height: auto; }
.sums { font: .78rem/1.35 ui-monospace, "DejaVu Sans Mono", monospace; }
.sums td { padding: .05rem .5rem; border: 0; }
.sums td + td { white-space: nowrap; }
.measure { margin: .3rem 0 .6rem; } .measure td, .measure th { padding: .12rem .5rem; }
.measure .blank { width: 7rem; border-bottom-color: #111; } .measure th:first-child { color: #111; font-weight: bold; }
.boxes span { display: inline-block; margin: .2rem 1rem .2rem 0; }
.boxes i { display: inline-block; width: .9em; height: .9em; margin-right: .4em; border: 1.5px solid #111;
  vertical-align: -.1em; }
.boxes u { display: inline-block; width: 4rem; border-bottom: 1px solid #111; text-decoration: none; }
@media print {
  @page { margin: 10mm; }
  body { max-width: none; padding: 0; font-size: 8pt; line-height: 1.25; }
  h1 { font-size: 14pt; } p { margin: .8mm 0; } h2 { margin: 2mm 0 1mm; padding-top: 1mm; font-size: 10.5pt; }
  th, td { padding: .6mm 1.5mm; } th { font-size: 7pt; } .big { font-size: 10pt; }
  figure, tr, dl, table { break-inside: avoid; } h2 { break-after: avoid; }
  figure { margin: 1mm auto; } svg { max-height: 200mm; } .preview svg { max-height: 116mm; }
  .along svg { max-height: 150mm; }
  .sheet { break-before: page; margin-top: 0; border-top: 0; }
  dl { columns: 2; column-gap: 5mm; } dl div { display: block; break-inside: avoid; margin: 0 0 .8mm; }
  dt, dd { display: inline; } dt { margin-right: 1.5mm; }
  .measure td, .measure th { padding: .35mm 1.5mm; }
  .sums { font-size: 6.5pt; }
  .banner { print-color-adjust: exact; -webkit-print-color-adjust: exact; border: 2px solid var(--red); }
}
""".strip()

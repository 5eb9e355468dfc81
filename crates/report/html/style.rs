//! The style sheet: light and dark by the reader's setting, paper for printing.

/// Colours are the palette of Okabe and Ito; on dark paper its light members stand in. Text keeps 4.5 to 1, so that the
/// vermillion of lines is darker in words (5.0 to 1). A shaded edge says that there is more to the side.
pub(crate) const STYLE: &str = r"
:root { color-scheme: light dark; --paper: #ffffff; --text: #1b1b1b; --soft: #595959; --grid: #dedede; --edge: #b4b4b4;
  --air: #0072B2; --ground: #D55E00; --ground-words: #B84F00; --second: #CC79A7; --gyro: #009E73; --span: #e6eef5; --context: #8c8c8c; --tint: #f5f6f7;
  --alert: #fff4e5; --alert-edge: #D55E00; }
@media (prefers-color-scheme: dark) { :root { --paper: #15181b; --text: #ececec; --soft: #acb1b6; --grid: #30363c; --edge: #5a646d;
  --air: #56B4E9; --ground: #F0883E; --ground-words: #F0883E; --second: #D99ABD; --gyro: #2FC49A; --span: #22303c; --context: #858d95; --tint: #1e2226;
  --alert: #33261a; --alert-edge: #F0883E; } }
@media print { :root { color-scheme: light; --paper: #ffffff; --text: #1b1b1b; --soft: #595959; --grid: #dedede; --edge: #b4b4b4;
  --air: #0072B2; --ground: #D55E00; --ground-words: #B84F00; --second: #CC79A7; --gyro: #009E73; --span: #e6eef5; --context: #8c8c8c; --tint: #f5f6f7;
  --alert: #fff4e5; --alert-edge: #D55E00; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--text);
  font: 16px/1.5 system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif; }
main { max-width: 53rem; margin: 0 auto; padding: 2rem 1.25rem 4rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .4rem; overflow-wrap: anywhere; }
h2 { font-size: 1.3rem; margin: 2rem 0 .6rem; padding-top: .6rem; border-top: 2px solid var(--text); }
h3 { font-size: 1.05rem; line-height: 1.35; margin: 0 0 .2rem; }
p { margin: .5rem 0; }
a { color: var(--air); }
code { font: .88em ui-monospace, 'SF Mono', Menlo, Consolas, monospace; overflow-wrap: anywhere; }
ul { padding-left: 1.2rem; }
li { margin: .35rem 0; }
.kicker { margin: 0; color: var(--soft); font-weight: 600; }
.facts, .subtitle, .help, caption { color: var(--soft); }
.subtitle, .facts { font-size: .9rem; }
.lead { font-size: 1.25rem; line-height: 1.4; font-weight: 600; }
.answer { font-size: 1.05rem; line-height: 1.4; margin: .3rem 0; }
.contents { display: flex; flex-wrap: wrap; gap: 0 1.1rem; font-size: .9rem; margin: .6rem 0 0; } .contents a { padding: .35rem 0; }
details { border-bottom: 1px solid var(--grid); } summary { cursor: pointer; padding: .6rem 0; }
summary h2 { display: inline; border: 0; margin: 0; padding: 0; } details[open] > summary { margin-bottom: .4rem; }
section:has(> details > summary > h2) { margin-top: 2rem; }
.care { font-size: .95rem; border-left: 4px solid var(--ground); padding-left: .8rem; margin-top: 1rem; }
.alerts { background: var(--alert); border-left: 5px solid var(--alert-edge); padding: .7rem 1.2rem; margin-top: 1.5rem; }
.alerts h2 { border: 0; margin: 0; padding: 0; font-size: 1.05rem; }
.alerts ul { margin: .3rem 0; }
figure { margin: 1rem 0 1.4rem; }
figcaption { margin-bottom: .5rem; }
.scroll { overflow-x: auto; background: linear-gradient(90deg, var(--paper), var(--paper)) 0 0 / 1.2rem 100% no-repeat local,
  linear-gradient(90deg, var(--paper), var(--paper)) 100% 0 / 1.2rem 100% no-repeat local,
  linear-gradient(90deg, var(--edge), transparent) 0 0 / .7rem 100% no-repeat scroll,
  linear-gradient(270deg, var(--edge), transparent) 100% 0 / .7rem 100% no-repeat scroll; }
svg.chart { display: block; width: 100%; min-width: 36rem; height: auto; } #velocity-circle .wide svg.chart { max-height: 24rem; }
#strip .wide svg.chart { max-height: 34rem; }
.narrow { display: none; } .narrow svg.chart { min-width: 0; } @media screen and (max-width: 40rem) { .wide { display: none; } .narrow { display: block; } }
.s-text { stroke: var(--text); } .f-text { fill: var(--text); }
.s-soft { stroke: var(--soft); } .f-soft { fill: var(--soft); }
.s-grid { stroke: var(--grid); } .f-grid { fill: var(--grid); }
.s-paper { stroke: var(--paper); } .f-paper { fill: var(--paper); }
.s-air { stroke: var(--air); } .f-air { fill: var(--air); }
.s-ground { stroke: var(--ground); } .f-ground { fill: var(--ground); } text.f-ground { fill: var(--ground-words); }
.s-second { stroke: var(--second); } .f-second { fill: var(--second); }
.s-gyro { stroke: var(--gyro); } .f-gyro { fill: var(--gyro); }
.s-span { stroke: var(--span); } .f-span { fill: var(--span); }
.s-context { stroke: var(--context); } .f-context { fill: var(--context); }
table { border-collapse: collapse; width: 100%; font-size: .85rem; font-variant-numeric: tabular-nums; margin: .6rem 0; }
caption { text-align: left; font-size: .85rem; padding-bottom: .3rem; }
td { white-space: nowrap; }
.words td, .verdicts td:last-child { white-space: normal; }
.words td:last-child { min-width: 15rem; }
th, td { text-align: right; vertical-align: top; padding: .3rem .5rem; border-bottom: 1px solid var(--grid); }
thead th { vertical-align: bottom; border-bottom: 1px solid var(--text); font-weight: 600; }
th:first-child, th.text, td.text, .words th, .words td, .verdicts td:last-child { text-align: left; }
tbody th { font-weight: 600; } .numbers tbody th { white-space: nowrap; }
#turn-rates table { font-size: .8rem; } #turn-rates th, #turn-rates td { padding: .3rem .35rem; }
.facts-list { display: grid; grid-template-columns: repeat(auto-fill, minmax(13.5rem, 1fr)); gap: 0 1.5rem; margin: .6rem 0;
  font-size: .88rem; font-variant-numeric: tabular-nums; }
.facts-list div { border-bottom: 1px solid var(--grid); padding: .3rem 0; }
dt { color: var(--soft); } dd { margin: 0; }
.doubts, .reasons { font-size: .9rem; }
.made dl { font-size: .85rem; }
.made dl div { display: grid; grid-template-columns: 15rem 1fr; gap: 1rem; padding: .15rem 0; border-bottom: 1px solid var(--grid); }
.made dl.config { columns: 2 20rem; column-gap: 2rem; }
.made dl.config div { grid-template-columns: 1fr auto; break-inside: avoid; font-size: .8rem; }
@media (max-width: 40rem) { .made dl div { grid-template-columns: 1fr; gap: 0; } }
@page { margin: 15mm 14mm; }
@media print { body { font-size: 9.5pt; line-height: 1.4; } main { max-width: none; padding: 0; } p { margin: 1.2mm 0; } .lead { font-size: 12pt; }
  h1 { font-size: 17pt; } h2 { font-size: 13pt; margin: 5mm 0 2mm; padding-top: 2mm; } h3 { font-size: 10.5pt; }
  h2, h3, thead, caption { break-after: avoid; } .made dl:not(.config), .cautions, .together { break-inside: avoid; } tr, .facts-list div, li { break-inside: avoid; }
  .subtitle, .facts { font-size: 8.5pt; line-height: 1.35; } figure { margin: 3mm 0 5mm; } figcaption { margin-bottom: 1.5mm; }
  .scroll { overflow: visible; background: none; } table { font-size: 8pt; margin: 1.5mm 0; } caption { padding-bottom: .5mm; }
  th, td { padding: .6mm 1mm; line-height: 1.3; } #turn-rates table { font-size: 7.5pt; } #turn-rates td, #turn-rates tbody th { white-space: nowrap; }
  .facts-list { grid-template-columns: repeat(5, 1fr); font-size: 7.5pt; gap: 0 3mm; margin: 1.5mm 0; } .facts-list div { padding: .6mm 0; line-height: 1.3; }
  .made dl, .made dl.config div { font-size: 8pt; } .made dl.config { columns: 3; column-gap: 6mm; }
  /* The table of turn rates may break and its chart may not: so the table comes first and fills the first page. */
  #turn-rates { display: flex; flex-direction: column; } #turn-rates .together { order: 1; margin-top: 3mm; }
  svg.chart { min-width: 0; max-height: 215mm; } figure[id^=window-] svg.chart { max-height: 57mm; } #wind-height svg.chart { max-height: 58mm; }
  #velocity-circle svg.chart { max-height: 100mm; } #tracks svg.chart { max-height: 76mm; } #strip svg.chart { max-height: 96mm; }
  .contents { display: none; } summary { list-style: none; padding: 1mm 0; } summary::-webkit-details-marker { display: none; }
  details { border: 0; } details:not([open]):not(.paper) { display: none; } .windows:not(:has(details[open])) { display: none; }
  details.paper { break-inside: avoid; } .paper > summary:not(:has(h2)) { display: none; }
  * { -webkit-print-color-adjust: exact; print-color-adjust: exact; } }
@media print { details.paper:not([open]) { display: none; } }
@supports selector(::details-content) { @media print { details.paper:not([open]) { display: block; }
  details.paper::details-content { content-visibility: visible; display: block; block-size: auto; } } }
";

//! What the page of a campaign needs beyond the style of all reports.

/// Cells of the matrix have a tint by the size of their turn, on paper as in the dark: the scale beside it shows the same
/// classes. On a narrow screen rows become blocks: the label above, figures below, each with the head of its column.
pub(super) const STYLE: &str = r"
main { max-width: 66rem; padding-top: 1rem; } h1 { margin: 0; } .facts { margin: .2rem 0; }
h2 { margin: 2rem 0 .6rem; padding-top: .5rem; } .finding h2 { margin: .6rem 0 .2rem; padding-top: .3rem; font-size: 1.1rem; }
.finding p { margin: .25rem 0; } .lead { font-size: 1.1rem; line-height: 1.35; } .care { margin-top: .4rem; font-size: .85rem; }
#matrix { font-size: 1.1rem; margin: .8rem 0 .3rem; padding-top: .3rem; }
.alerts { margin-top: .8rem; padding: .4rem 1rem; } .alerts li { margin: .15rem 0; }
.contents { font-size: .85rem; margin: .3rem 0 0; } .contents details { margin: 0; border: 0; padding: 0; } .contents ul { list-style: none; padding: 0; margin: 0; display: flex; flex-wrap: wrap; gap: .1rem 1rem; }
.contents li { margin: 0; }
table { font-size: .8rem; } th, td { padding: .28rem .35rem; } th { overflow-wrap: break-word; }
summary { cursor: pointer; } summary h2 { display: inline; border: 0; margin: 0; padding: 0; font-size: 1.1rem; }
details { margin: .5rem 0; } section > details { border-top: 1px solid var(--edge); padding-top: .5rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(21rem, 100%), 1fr)); gap: 0 1.5rem; align-items: start; }
.pair figure { margin: .8rem 0 1rem; min-width: 0; } .pair svg.chart { min-width: 0; max-width: 30rem; } .numbers tbody th, td.text { white-space: normal; }
.pair h3 { overflow-wrap: anywhere; } details p, li, .finding p, caption { overflow-wrap: anywhere; }
.matrix tr:not(.wing) th:first-child { min-width: 7.5rem; } .matrix td { text-align: center; white-space: normal; border: 2px solid var(--paper); line-height: 1.3; padding: .15rem .3rem; }
.matrix th { text-align: left; } .matrix thead th { text-align: center; } .matrix thead th:first-child { text-align: left; }
.matrix td b, .matrix td span { display: block; } .matrix td b { white-space: nowrap; } .matrix .flag { font-weight: 600; } .matrix .in { display: none; }
.matrix .wing th { border: 0; padding-top: .5rem; color: var(--soft); }
.t1 { background: rgba(128, 128, 128, .08); } .t2 { background: rgba(128, 128, 128, .17); } .t3 { background: rgba(128, 128, 128, .26); }
.t4 { background: rgba(128, 128, 128, .35); }
.scale { display: flex; flex-wrap: wrap; gap: .3rem .8rem; font-size: .8rem; margin: .3rem 0; padding: 0; list-style: none; }
.scale li { margin: 0; padding: 0 .5rem; }
.class td:last-child { white-space: normal; text-align: left; min-width: 16rem; } .class td:nth-child(2) { white-space: normal; text-align: left; min-width: 7rem; }
.order td, .order th { text-align: left; white-space: normal; } .order tbody th { white-space: nowrap; }
@media print {
  table { font-size: 7.5pt; } caption, .scale { font-size: 8pt; } .lead { font-size: 10.5pt; } .contents, details:not(.paper):not([open]) { display: none; } summary { list-style: none; } summary::-webkit-details-marker { display: none; }
  .pair { grid-template-columns: 1fr 1fr; gap: 0 6mm; } .pair figure { margin: 1mm 0 2mm; break-inside: avoid; } .pair svg.chart { max-height: 150mm; }
  section > details { border-top: 0; padding: 0; margin: 0; } summary h2 { display: block; font-size: 12pt; border-top: 1px solid var(--text); padding-top: 1.5mm; margin: 3mm 0 1mm; }
  summary { break-after: avoid; } h2 { margin: 3mm 0 1.5mm; padding-top: 1.5mm; } .t1, .t2, .t3, .t4 { outline: .2mm solid var(--grid); }
  table { break-inside: auto; } tbody tr { break-inside: avoid; } tbody tr:first-child { break-after: avoid; } tbody tr:last-child { break-before: avoid; }
  .matrix, .class, .order { break-inside: avoid; } h2 + p { break-after: avoid; } .matrix .wing { break-after: avoid; } p, li { orphans: 3; widows: 3; }
}
";

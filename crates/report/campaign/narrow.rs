//! Tables on a narrow screen, for every page of a campaign.

/// Rows become blocks: the label above, figures below, each with the head of its column; nothing leaves the screen.
pub(crate) const TABLES: &str = r"
@media screen and (max-width: 56rem) {
  main { padding: 1rem .8rem 3rem; }
  .scroll:not(:has(> svg)) { overflow-x: visible; background: none; }
  table, tbody, caption { display: block; } thead { position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; }
  tbody tr { display: grid; grid-template-columns: repeat(auto-fit, minmax(8.5rem, 1fr)); gap: 0 .6rem; border-bottom: 1px solid var(--edge); padding: .3rem 0; }
  tbody th { grid-column: 1 / -1; border: 0; padding: .1rem 0; text-align: left; } .numbers tbody th { white-space: normal; }
  tbody td, .class td:last-child { border: 0; padding: .1rem 0; text-align: left; white-space: normal; overflow-wrap: anywhere; min-width: 0; }
  td[data-head]::before { content: attr(data-head) ': '; color: var(--soft); }
  .class td:nth-child(2), .order td:nth-child(2), .class td:last-child, .verdicts td:last-child, .words td:last-child { grid-column: 1 / -1; min-width: 0; }
  .matrix tbody tr { grid-template-columns: repeat(auto-fit, minmax(8rem, 1fr)); } .matrix tbody td { text-align: center; border: 2px solid var(--paper); padding: .25rem; }
  .matrix .in { display: block; color: var(--soft); }
  .made dl.config { columns: 20rem; } .facts-list { grid-template-columns: 1fr 1fr; }
}
";

//! What cards need beyond the style of the reports.

/// Two cards on a sheet of A4 or Letter, never broken.
pub(super) const CARDS: &str = r"
.card { border: 2px solid var(--text); padding: .8rem 1rem; margin: 1.2rem 0; break-inside: avoid; }
.card header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1px solid var(--text);
  margin-bottom: .5rem; padding-bottom: .3rem; }
.card h3 { font-size: 1.15rem; margin: 0; }
.card .what { display: grid; grid-template-columns: repeat(3, 1fr); gap: .2rem 1.2rem; margin: .3rem 0; }
.card .what dt { font-size: .75rem; } .card .what dd { font-weight: 600; }
.card ol { margin: .3rem 0; padding-left: 1.3rem; font-size: .9rem; } .card ol li { margin: .15rem 0; }
.card .abort { border-left: 4px solid var(--ground); padding-left: .6rem; margin: .5rem 0; font-size: .9rem; }
.card .boxes { display: grid; grid-template-columns: repeat(4, 1fr); gap: .4rem; margin-top: .5rem; }
.card .boxes div { border: 1px solid var(--soft); min-height: 2.6rem; padding: .1rem .35rem; font-size: .7rem; color: var(--soft); }
.card .boxes .wide { grid-column: span 4; min-height: 3.4rem; }
@media print { .cards { break-before: page; } .card { margin: 0 0 6mm; min-height: 118mm; } .card:nth-child(2n) { break-after: page; } }
";

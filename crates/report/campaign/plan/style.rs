//! What cards need beyond the style of the reports.

/// Two cards on a sheet of A4 or Letter, never broken.
pub(super) const CARDS: &str = r"
.card { border: 2px solid var(--text); padding: .7em 1em; margin: 1.2rem 0; break-inside: avoid; font-size: 15px; line-height: 1.4; }
.card header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1px solid var(--text);
  margin-bottom: .4em; padding-bottom: .2em; }
.card h3 { font-size: 1.2em; margin: 0; }
.card .what { display: grid; grid-template-columns: repeat(3, 1fr); gap: .1em 1.2em; margin: .3em 0; }
.card .what dt { font-size: .8em; } .card .what dd { font-weight: 600; }
.card ol { margin: .3em 0; padding-left: 1.4em; } .card ol li { margin: .1em 0; }
.card .abort { border-left: 4px solid var(--ground); padding-left: .6em; margin: .5em 0; }
.card .boxes { display: grid; grid-template-columns: repeat(4, 1fr); gap: .4em; margin-top: .5em; }
.card .boxes div { border: 1px solid var(--soft); min-height: 2.8em; padding: .1em .35em; font-size: .75em; color: var(--soft); }
.card .boxes .wide { grid-column: span 4; min-height: 4.2em; }
@media print { .cards { break-before: page; } .card { font-size: 8.8pt; line-height: 1.3; height: 117mm; margin: 0 0 7mm;
    display: flex; flex-direction: column; } .card .boxes { flex: 1; grid-template-rows: auto auto 1fr; }
  .card:nth-child(2n) { break-after: page; margin-bottom: 0; } .card:last-child { break-after: auto; } }
";

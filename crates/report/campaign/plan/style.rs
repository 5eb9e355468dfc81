//! What cards need beyond the style of the reports.

/// Two cards on a sheet of A4 or Letter, half a sheet each, never broken; black on white, 12 pt and larger, boxes of 12 mm.
pub(super) const CARDS: &str = r"
.card { border: .7mm solid #000; background: #fff; color: #000; padding: 2mm 4mm 2mm; margin: 6mm auto; width: 190mm; max-width: 100%;
  min-height: 128mm; font-size: 12pt; line-height: 1.25; break-inside: avoid; display: flex; flex-direction: column; overflow-wrap: anywhere; }
.card header { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: 0 4mm; border-bottom: .5mm solid #000; }
.card h3 { font-size: 19pt; margin: 0; } .card p { margin: 1.2mm 0; } .card .what strong { font-size: 16pt; } .card .what strong.long { font-size: 12pt; }
.card .expect, .card .unknown { border: .7mm solid #000; padding: 1mm 2.5mm; font-size: 13pt; } .card .unknown { border-style: dashed; }
.card ol { margin: 0; padding-left: 7mm; } .card ol li { margin: .3mm 0; }
.card .write { display: inline-block; width: 18mm; border-bottom: .4mm solid #000; }
.card .boxes { display: grid; grid-template-columns: 30mm repeat(4, 1fr); gap: 1mm; }
.card .boxes div { display: flex; flex-direction: column; } .card .boxes span { white-space: nowrap; }
.card .boxes b { border: .4mm solid #000; height: 12mm; padding: 1.5mm 2mm; font-size: 15pt; line-height: 1.1; overflow: hidden; }
.card .notes { flex: 1; min-height: 8mm; margin: 1.5mm 0 0; }
.order td, .order th { text-align: left; white-space: normal; } .order th { overflow-wrap: break-word; } .order tbody th { white-space: nowrap; }
@media (max-width: 48rem) { .card .boxes { grid-template-columns: repeat(2, 1fr); } }
@page { margin: 8mm 10mm; }
@media print { .cards { break-before: page; } .card { height: 128mm; min-height: 0; max-width: none; width: 100%; margin: 0 0 5mm; overflow: hidden; }
  .card .boxes { grid-template-columns: 30mm repeat(4, 1fr); }
  .card:nth-child(2n) { break-after: page; margin-bottom: 0; } .card:last-child { break-after: auto; }
  .cautions { break-before: avoid; } .cautions ul { columns: 2; margin: 1mm 0; } .cautions li { margin: .3mm 0; font-size: 8.5pt; line-height: 1.25; }
  .cautions h2 { margin-top: 3mm; } table { font-size: 8pt; } tbody tr { break-inside: avoid; } tbody tr:first-child { break-after: avoid; } tbody tr:last-child { break-before: avoid; } }
";

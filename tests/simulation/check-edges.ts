/** Every edge that the board saw is in a journal, or still on the board, or was lost with the board's memory before anybody was told that it is safe. */
import type { EdgeLedger } from './edge-ledger.ts';
import type { Rebuilt } from './rebuilt.ts';

export function checkEdges(ledger: EdgeLedger, journals: readonly Rebuilt[]): readonly string[] {
  const lines = new Set(
    journals.flatMap(({ records }) =>
      records.flatMap((record) => (record.kind === 'line' ? [Buffer.from(record.bytes).toString('latin1').replace(/\r$/, '')] : [])),
    ),
  );
  const missing = ledger.letGo.filter(({ line }) => !lines.has(line));
  const wrong = missing.map(({ line }) => `the board was told that an edge is safe which no journal has: ${line}`);
  const counted = ledger.letGo.length + ledger.held.length + ledger.lostAtS.length + ledger.unnumbered + ledger.refused;
  if (counted !== ledger.captures) wrong.push(`of ${ledger.captures} edges that the board saw ${counted} are accounted for`);
  return wrong;
}

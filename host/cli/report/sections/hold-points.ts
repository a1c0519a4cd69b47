/** What the crew ticked before each shot, by their own acts in the journal. */
import type { Shot } from '../../../../protocol/index.ts';
import type { ReportFacts } from '../gather.ts';
import { type Html, html, table } from '../html.ts';
import type { RecordedAct } from '../journal-facts.ts';

export function holdPointSection({ rig, shots, journal }: ReportFacts): Html {
  const points = rig.holdPoints;
  if (points.length === 0) return html`<section><h2>Hold points</h2><p>The rig file names none.</p></section>`;
  const crew = points.filter(({ by }) => by === 'crew');
  const own = points.filter(({ by }) => by === 'condition');
  const rows = shots.map((shot, i) => [String(shot.number), ...crew.map(({ id }) => ticked(id, shot, shots[i - 1], journal?.acts ?? []))]);
  return html`<section><h2>Hold points</h2>
<p>A reminder and no interlock: it stopped nobody and nothing. A firing takes all ticks back, so each shot begins with none.</p>
${!journal ? html`<p>The journal is not in its folder: who ticked what is not known here.</p>` : crew.length === 0 || rows.length === 0 ? undefined : html`${table(['Shot', ...crew.map(({ name }) => name)], rows, 'Ticked by')}`}
${own.length === 0 ? undefined : html`<p>Seen by the program itself: ${own.map(({ name }) => name).join('; ')}. Whether each held at a firing, a replay of the journal shows.</p>`}
</section>`;
}

/** The last word on the point between the firing before and this one. */
function ticked(id: string, shot: Shot, before: Shot | undefined, acts: readonly RecordedAct[]): string {
  const since = before?.firedAtNs ?? Number.NEGATIVE_INFINITY;
  const last = acts.findLast(
    ({ act, atNs }) => act.act === 'hold-point' && act.holdPointId === id && atNs > since && atNs <= shot.firedAtNs,
  );
  if (last?.act.act !== 'hold-point' || !last.act.done) return 'not ticked';
  return `${last.act.who}, ${last.at.slice(11, 19)}`;
}

/** In a replay under a corrected rig file: the shot shown as it was recorded and as corrected, side by side. */
import { type FormattedParts, formatParts, NO_VALUE, type QuantityKind } from '../../../host/units/index.ts';
import type { ComparedResult, ComparedShot, ComparedValue, RigComparison } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { comparison, comparisonProblem, replay } from '../state/replay.ts';
import { shown } from '../state/shots.ts';
import { oneLine } from '../text/result-text.ts';

export function RigComparisonPanel() {
  const state = replay.value;
  if (state?.correctedRig === undefined) return null;
  const told = comparison.value;
  const shot = told?.shots.find(({ id, correctedId }) => (correctedId ?? id) === shown.value?.id);
  return (
    <section class="panel rig-comparison" aria-labelledby="comparison-title">
      <h2 id="comparison-title">Recorded and corrected</h2>
      <p class="note">
        All else on this page is under the corrected rig file <strong>{state.correctedRig}</strong>
        {told && (
          <>
            ; the session was recorded under <strong>{told.recordedRig}</strong>
          </>
        )}
        .
      </p>
      {comparisonProblem.value !== '' && <p class="notice">The comparison could not be fetched: {comparisonProblem.value}.</p>}
      {told && shot ? <Table told={told} shot={shot} /> : <p class="empty">No shot to compare yet.</p>}
    </section>
  );
}

function Table({ told, shot }: { readonly told: RigComparison; readonly shot: ComparedShot }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="scrolling" tabIndex={0} aria-label="Results under both rig files">
      <table class="figures-table">
        <caption>
          Shot {shot.id}, ± 95 %{shot.recordedId === undefined && ': only under the corrected rig file'}
          {shot.correctedId === undefined && ': only under the recorded rig file'}
        </caption>
        <thead>
          <tr>
            <th scope="col">Result</th>
            <th scope="col">Recorded: {told.recordedRig}</th>
            <th scope="col">Corrected: {told.correctedRig}</th>
            <th scope="col">Corrected less recorded</th>
          </tr>
        </thead>
        <tbody>
          {shot.results.map((result) => (
            <Row key={result.name} result={result} />
          ))}
          <tr>
            <th scope="row">Flags</th>
            <td>{shot.recordedFlags.join(', ') || 'none'}</td>
            <td>{shot.correctedFlags.join(', ') || 'none'}</td>
            <td />
          </tr>
        </tbody>
      </table>
      <p class="note">The ± of a difference leaves out what both share: it tells how sure the correction is, and not the shot.</p>
    </section>
  );
}

function Row({ result: { title, kind, recorded, corrected, difference } }: { readonly result: ComparedResult }) {
  const parts = (value: ComparedValue): FormattedParts =>
    formatParts(value.value, value.expandedUncertainty, kind as QuantityKind, units.value);
  const text = (value: ComparedValue | undefined): string => (value ? oneLine(parts(value)) : NO_VALUE);
  const isNone = difference && recorded && isRounding(difference, recorded);
  return (
    <tr>
      <th scope="row">{title}</th>
      <td class="figures">{text(recorded)}</td>
      <td class="figures">{text(corrected)}</td>
      <td class="figures">{isNone ? 'none' : `${difference && difference.value > 0 ? '+' : ''}${text(difference)}`}</td>
    </tr>
  );
}

/** What is so far below the result's own uncertainty is rounding. */
const SAME_SHARE = 1e-6;

const isRounding = (difference: ComparedValue, of: ComparedValue): boolean =>
  Math.max(Math.abs(difference.value), difference.expandedUncertainty) < SAME_SHARE * of.expandedUncertainty;

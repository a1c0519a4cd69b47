import { useState } from 'preact/hooks';
import { dragChart } from '../../../host/charts/index.ts';
import { formatValue } from '../../../host/units/index.ts';
import type { DragKind } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { DragCurve } from '../components/drag-curve.tsx';
import { DragPoints } from '../components/drag-points.tsx';
import { dragState, fetchDrag } from '../state/drag.ts';
import { units } from '../state/preferences.ts';
import { useWithShots } from '../state/use-with-shots.ts';
import { percentText } from '../text/map-text.ts';

/** The drag of each kind of projectile over Mach, as far as the shots say. */
export function DragPage() {
  useWithShots(fetchDrag);
  const [chosen, setChosen] = useState(0);
  const now = dragState.value;
  return (
    <section class="panel drag-panel" aria-labelledby="drag-title">
      <h2 id="drag-title">Drag over Mach</h2>
      {now.state !== 'here' ? (
        <p class="empty">
          {WORDS[now.state]}
          {now.state === 'failed' && ` ${now.why}.`}
        </p>
      ) : (
        <Report kinds={now.report.kinds} without={now.report.without} chosen={chosen} choose={setChosen} />
      )}
    </section>
  );
}

const WORDS = {
  waiting: 'The host is working it out…',
  none: 'Drag curves are made from the stored shots of a live session; a replay has none. Use postern drag.',
  failed: 'The drag could not be had:',
} as const;

interface ReportProps {
  readonly kinds: readonly DragKind[];
  readonly without: readonly { readonly shotId: string; readonly why: string }[];
  readonly chosen: number;
  readonly choose: (index: number) => void;
}

function Report({ kinds, without, chosen, choose }: ReportProps) {
  const kind = kinds[chosen] ?? kinds[0];
  return (
    <>
      {kinds.length > 1 && (
        <label class="map-kind">
          Projectile
          <select value={chosen} onChange={(event) => choose(Number(event.currentTarget.value))}>
            {kinds.map(({ projectile, diameterM }, i) => (
              <option key={`${projectile} ${diameterM}`} value={i}>
                {projectile}, {formatValue(diameterM, 'smallLength', units.value)}
              </option>
            ))}
          </select>
        </label>
      )}
      {kind ? <Kind kind={kind} /> : <p class="empty">No shot yet that tells of the drag.</p>}
      {without.length > 0 && (
        <p class="quiet">
          {without.length} shots that tell of no drag: {without[0]?.why}.
        </p>
      )}
    </>
  );
}

function Kind({ kind }: { readonly kind: DragKind }) {
  const { projectile, diameterM, points, leftOut, curve, gaps, noCurve, scatterRelative, followsReference, commonInputs, reference } = kind;
  return (
    <>
      <p>
        {projectile}, {formatValue(diameterM, 'smallLength', units.value)}: {points.length} {points.length === 1 ? 'shot' : 'shots'}. Beside
        them a published smooth sphere ({reference.source || 'none'}).
      </p>
      {points.length > 0 && <ChartDrawing chart={dragChart(kind)} id="drag-chart" hasTable />}
      {noCurve !== '' && <p class="notice">{noCurve}</p>}
      {gaps.map(({ fromMach, why }) => (
        <p key={fromMach} class="notice">
          {why}
        </p>
      ))}
      {points
        .filter(({ isOutlier }) => isOutlier)
        .map(({ shotId, score = 0 }) => (
          <p key={shotId} class="notice">
            Shot {shotId} lies {Math.abs(score).toFixed(1)} u {score > 0 ? 'above' : 'below'} the curve through the others: look at its
            gates, its film and its projectile.
          </p>
        ))}
      {curve.length > 0 && (
        <p>
          From shot to shot the drag varies by {percentText(scatterRelative)} beyond what the gates explain (k = 1)
          {followsReference === undefined
            ? ''
            : `; that the curve has the published one’s shape is believed to ${Math.round(100 * followsReference)} %`}
          . What all shots have in common, and more of them do not shrink:{' '}
          {commonInputs
            .slice(0, 4)
            .map(({ input, relative }) => `${input} ${percentText(relative)}`)
            .join(', ')}
          .
        </p>
      )}
      {points.length > 0 && <DragPoints points={points} />}
      {curve.length > 0 && <DragCurve curve={curve} />}
      {leftOut.length > 0 && (
        <details>
          <summary>Not in the curve: {leftOut.length}</summary>
          <ul>
            {leftOut.map(({ shotId, why }) => (
              <li key={shotId}>
                {shotId}: {why}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

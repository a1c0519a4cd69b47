import { useState } from 'preact/hooks';
import { dragChart } from '../../../host/charts/index.ts';
import { formatValue } from '../../../host/units/index.ts';
import type { DragKind, DragReport } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { DragCurve } from '../components/drag-curve.tsx';
import { DragPoints } from '../components/drag-points.tsx';
import { KindChoice, LeftOutShots, NotHere, OfReplay, Without } from '../components/report-parts.tsx';
import { drag } from '../state/drag.ts';
import { units } from '../state/preferences.ts';
import { useWithShots } from '../state/use-with-shots.ts';
import { percentText } from '../text/map-text.ts';

/** The drag of each kind of projectile over Mach, as far as the shots say. */
export function DragPage() {
  useWithShots(drag.fetchIt);
  const [chosen, setChosen] = useState(0);
  const now = drag.now.value;
  const { kinds, without } = now.state === 'here' ? now.report : NOTHING;
  const kind = kinds[chosen] ?? kinds[0];
  return (
    <section class="panel drag-panel" aria-labelledby="drag-title">
      <h2 id="drag-title">Drag over Mach</h2>
      {now.state === 'here' ? (
        <>
          <OfReplay />
          <KindChoice
            label="Projectile"
            names={kinds.map(({ projectile, diameterM }) => `${projectile}, ${formatValue(diameterM, 'smallLength', units.value)}`)}
            chosen={chosen}
            choose={setChosen}
          />
          {kind ? <Kind kind={kind} /> : <p class="empty">No shot yet that tells of the drag.</p>}
          <Without without={without} words="that tell of no drag" />
        </>
      ) : (
        <NotHere now={now} what="drag curve" />
      )}
    </section>
  );
}

const NOTHING: DragReport = { kinds: [], without: [] };

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
      <LeftOutShots leftOut={leftOut} of="curve" />
    </>
  );
}

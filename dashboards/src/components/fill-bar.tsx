/** How far the reservoir is filled, of its rating, with target, band and limits marked. A picture; the words stand below. */
import { formatValue } from '../../../host/units/index.ts';
import type { FillEvent, RigSummary } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';

export interface FillBarProps {
  readonly siGauge: number | undefined;
  readonly event: FillEvent | undefined;
  /** Of the air; without it nothing absolute can be put on a bar that counts from it. */
  readonly ambientPa: number | undefined;
  readonly rig: RigSummary | undefined;
}

const WIDTH = 1000;
const HEIGHT = 40;

export function FillBar({ siGauge, event, ambientPa, rig }: FillBarProps) {
  if (!rig) return null;
  const { reservoirRatedPaGauge: ratedPa, fill } = rig;
  const targetPa = event?.targetPa !== undefined && ambientPa !== undefined ? event.targetPa - ambientPa : fill?.targetPaGauge;
  const bandPa = event?.bandPa ?? fill?.bandPa ?? 0;
  const settled = event?.settling?.settledPressurePa.value;
  const limits = rig.limits.filter((limit) => limit.channel === 'reservoirPressure' && limit.kind === 'above');
  const x = (pa: number) => Math.min(WIDTH, Math.max(0, (pa / ratedPa) * WIDTH));
  return (
    <div class="fill">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        <rect class="fill-now" width={x(siGauge ?? 0)} y={10} height={20} />
        {targetPa !== undefined && (
          <>
            <rect
              class="fill-band"
              x={x(targetPa - bandPa)}
              width={Math.max(6, x(targetPa + bandPa) - x(targetPa - bandPa))}
              height={HEIGHT}
            />
            <line class="fill-target" x1={x(targetPa)} x2={x(targetPa)} y1={0} y2={HEIGHT} />
          </>
        )}
        {settled !== undefined && ambientPa !== undefined && (
          <line class="fill-settled" x1={x(settled - ambientPa)} x2={x(settled - ambientPa)} y1={0} y2={HEIGHT} />
        )}
        {limits.map(({ id, thresholdSi, reference }) => {
          const at = reference === 'gauge' ? thresholdSi : thresholdSi - (ambientPa ?? Number.NaN);
          return Number.isFinite(at) && <line key={id} class="fill-limit" x1={x(at)} x2={x(at)} y1={0} y2={HEIGHT} />;
        })}
      </svg>
      <FillWords siGauge={siGauge} ratedPa={ratedPa} targetPa={targetPa} bandPa={bandPa} />
    </div>
  );
}

interface FillWordsProps {
  readonly siGauge: number | undefined;
  readonly ratedPa: number;
  readonly targetPa: number | undefined;
  readonly bandPa: number;
}

function FillWords({ siGauge, ratedPa, targetPa, bandPa }: FillWordsProps) {
  const system = units.value;
  const percent = siGauge === undefined ? undefined : Math.round((siGauge / ratedPa) * 100);
  return (
    <>
      {/* A paragraph each: one digit more in the first moves nothing in the second. */}
      <p class="figures">
        <span class={percent !== undefined && percent > 100 ? 'loud' : ''}>
          {percent ?? '–'} % of the rating, {formatValue(ratedPa, 'pressure', system)} gauge.
        </span>
      </p>
      <p class="figures">
        {targetPa === undefined
          ? 'No target is set.'
          : `Target ${formatValue(targetPa, 'pressure', system)} gauge, ± ${formatValue(bandPa, 'pressure', system)}.`}
      </p>
    </>
  );
}

/** The target's plane as seen from the launcher: where the sight meets it, the impacts, their mean and spread. */
import type { ImpactsEvent } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { pointText, TARGET_UNIT } from '../text/target-length.ts';

const SIZE = 300;
const MIDDLE = SIZE / 2;
const MARGIN = 34;
/** In the crew's unit: half the width that is drawn. */
const HALF_WIDTHS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

export interface TargetDrawingProps {
  readonly told: ImpactsEvent | undefined;
  /** Of the newest shot, below the line of launch at the target. */
  readonly dropM: number | undefined;
}

export function TargetDrawing({ told, dropM }: TargetDrawingProps) {
  const { fromM, toM, symbol } = TARGET_UNIT[units.value];
  const { impacts = [], mean, spreadM, holdNext } = told ?? {};
  const reachM = Math.max(
    0,
    ...impacts.flatMap(({ at }) => [Math.abs(at.rightM), Math.abs(at.upM)]),
    ...(holdNext ? [Math.abs(holdNext.rightM), Math.abs(holdNext.upM)] : []),
  );
  const half = HALF_WIDTHS.find((width) => width >= fromM(reachM) * 1.1 && toM(width) >= 0.01) ?? 5000;
  const scale = (MIDDLE - MARGIN) / toM(half);
  const x = (rightM: number) => MIDDLE + rightM * scale;
  const y = (upM: number) => MIDDLE - upM * scale;
  const numberOfShot = (id: string) => shots.value.find((shot) => shot.id === id)?.number ?? '';
  const said = [
    `Target plane, ${impacts.length} ${impacts.length === 1 ? 'impact' : 'impacts'}`,
    mean ? `mean ${pointText({ rightM: mean.rightM.value, upM: mean.upM.value }, units.value)}` : '',
    holdNext ? `hold next ${pointText(holdNext, units.value)}` : '',
  ];
  return (
    <figure class="target-drawing">
      <svg viewBox={`0 0 ${SIZE} ${SIZE}`} role="img" aria-label={said.filter((part) => part !== '').join('; ')}>
        <rect class="plane" x={MARGIN} y={MARGIN} width={SIZE - 2 * MARGIN} height={SIZE - 2 * MARGIN} />
        {[0.25, 0.5, 1].map((share) => (
          <circle key={share} class="ring" cx={MIDDLE} cy={MIDDLE} r={share * (MIDDLE - MARGIN)} />
        ))}
        <path class="sight" d={`M${MIDDLE - 16} ${MIDDLE}h32M${MIDDLE} ${MIDDLE - 16}v32`} />
        <text x={SIZE - MARGIN} y={SIZE - MARGIN + 18} text-anchor="end">
          {half} {symbol}
        </text>
        <text x={MARGIN} y={SIZE - MARGIN + 18}>
          −{half}
        </text>
        {dropM !== undefined && fromM(dropM) <= half && (
          <>
            <path class="drop" d={`M${MIDDLE - 10} ${y(-dropM)}h20M${MIDDLE - 4} ${y(-dropM) - 5}l4 5 4 -5`} />
            <text x={MIDDLE + 14} y={y(-dropM) + 4}>
              drop
            </text>
          </>
        )}
        {impacts.map(({ shotId, at }) => (
          <g key={shotId} class="impact">
            <circle cx={x(at.rightM)} cy={y(at.upM)} r={4.5} />
            <text x={x(at.rightM) + 7} y={y(at.upM) - 5}>
              {numberOfShot(shotId)}
            </text>
          </g>
        ))}
        {mean && (
          <g class="mean">
            {spreadM && <ellipse cx={x(mean.rightM.value)} cy={y(mean.upM.value)} rx={spreadM.right * scale} ry={spreadM.up * scale} />}
            <path d={`M${x(mean.rightM.value) - 7} ${y(mean.upM.value) - 7}l14 14m0 -14l-14 14`} />
          </g>
        )}
        {holdNext && <path class="hold-next" d={`M${x(holdNext.rightM)} ${y(holdNext.upM) - 9}l9 9 -9 9 -9 -9z`} />}
      </svg>
      <figcaption class="detail">+ sight · ● impacts · × mean, with 1 σ · ◇ hold next</figcaption>
    </figure>
  );
}

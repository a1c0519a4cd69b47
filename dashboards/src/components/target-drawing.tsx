/** The target's plane as seen from the launcher, about the point that is to be hit: sight, impacts, their mean and spread. */
import { useRef } from 'preact/hooks';
import type { ImpactsEvent } from '../../../protocol/index.ts';
import { drawnNode } from '../charts/drawn-node.ts';
import { type Box, labelPlaces } from '../charts/label-places.ts';
import { rig } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { excludedText } from '../text/impacts-text.ts';
import { pointText, TARGET_UNIT } from '../text/target-length.ts';
import { SavePicture } from './save-picture.tsx';

const SIZE = 300;
const MIDDLE = SIZE / 2;
const MARGIN = 34;
/** As the style sheet has it. */
const TEXT_HEIGHT = 12;
const DIGIT = 7.5;

/** Half the width that is drawn: the least of 1, 2 and 5 times a power of ten that holds so much, in the crew's unit. */
function halfWidth(reach: number): number {
  const decade = 10 ** Math.floor(Math.log10(Math.max(reach, 1e-3)));
  return [1, 2, 5].map((step) => step * decade).find((width) => width >= reach) ?? 10 * decade;
}

/** Such as `0.5`: no more places than it has. */
const scaleText = (length: number): string => String(Number(length.toPrecision(2)));

export interface TargetDrawingProps {
  readonly told: ImpactsEvent | undefined;
  /** Of the newest shot, below the line of launch at the target. */
  readonly dropM: number | undefined;
}

export function TargetDrawing({ told, dropM }: TargetDrawingProps) {
  const drawing = useRef<SVGSVGElement>(null);
  const { fromM, toM, symbol } = TARGET_UNIT[units.value];
  const { impacts = [], mean, spreadM, holdNext, aim = { rightM: 0, upM: 0 } } = told ?? {};
  // The mean is told against the aim.
  const meanAt = mean && { rightM: aim.rightM + mean.rightM.value, upM: aim.upM + mean.upM.value };
  const ballM = rig.value?.projectile.diameterM ?? 0;
  const reachM = Math.max(
    0.6 * ballM,
    ...impacts.flatMap(({ at }) => [Math.abs(at.rightM), Math.abs(at.upM)]),
    Math.abs(aim.rightM),
    Math.abs(aim.upM),
    ...(holdNext ? [Math.abs(holdNext.rightM), Math.abs(holdNext.upM)] : []),
    ...(dropM === undefined ? [] : [Math.abs(aim.upM - dropM)]),
    ...(meanAt && spreadM ? [Math.abs(meanAt.rightM) + spreadM.right, Math.abs(meanAt.upM) + spreadM.up] : []),
  );
  const half = halfWidth(fromM(reachM) * 1.1);
  const scale = (MIDDLE - MARGIN) / toM(half);
  const x = (rightM: number) => MIDDLE + rightM * scale;
  const y = (upM: number) => MIDDLE - upM * scale;
  const numberOfShot = (id: string) => shots.value.find((shot) => shot.id === id)?.number ?? '';
  const rings = [0.5, 1].map((share): Box => {
    return { x: MIDDLE + 3, y: MIDDLE - share * (MIDDLE - MARGIN) + 13 - TEXT_HEIGHT, width: 4 * DIGIT, height: TEXT_HEIGHT };
  });
  const dropBox = { x: x(aim.rightM) + 14, y: y(aim.upM - (dropM ?? 0)) + 4 - TEXT_HEIGHT, width: 4 * DIGIT, height: TEXT_HEIGHT };
  const dots = impacts.map(({ at }): Box => ({ x: x(at.rightM) - 5, y: y(at.upM) - 5, width: 10, height: 10 }));
  // The newest first: its number is the one that is looked for.
  const names = labelPlaces(
    impacts.map(({ shotId, at }) => ({ x: x(at.rightM), y: y(at.upM), text: String(numberOfShot(shotId)) })).toReversed(),
    TEXT_HEIGHT,
    [...rings, ...dots, ...(dropM === undefined ? [] : [dropBox])],
  ).toReversed();
  const said = [
    `Target plane, ${impacts.length} ${impacts.length === 1 ? 'impact' : 'impacts'}`,
    excludedText(impacts),
    meanAt ? `mean ${pointText(meanAt, units.value)}` : '',
    holdNext ? `hold next ${pointText(holdNext, units.value)}` : '',
  ];
  return (
    <figure class="target-drawing">
      <svg ref={drawing} viewBox={`0 0 ${SIZE} ${SIZE}`} role="img" aria-label={said.filter((part) => part !== '').join('; ')}>
        <rect class="plane" x={MARGIN} y={MARGIN} width={SIZE - 2 * MARGIN} height={SIZE - 2 * MARGIN} />
        {[0.5, 1].map((share) => (
          <g key={share}>
            <circle class="ring" cx={MIDDLE} cy={MIDDLE} r={share * (MIDDLE - MARGIN)} />
            <text class="ring-size" x={MIDDLE + 3} y={MIDDLE - share * (MIDDLE - MARGIN) + 13}>
              {scaleText(share * half)}
            </text>
          </g>
        ))}
        <circle class="ball" cx={MIDDLE} cy={MIDDLE} r={(ballM / 2) * scale} />
        <circle class="to-hit" cx={MIDDLE} cy={MIDDLE} r={3} />
        <path class="sight" d={`M${x(aim.rightM) - 16} ${y(aim.upM)}h32M${x(aim.rightM)} ${y(aim.upM) - 16}v32`} />
        <text x={SIZE - MARGIN} y={SIZE - MARGIN + 18} text-anchor="end">
          +{scaleText(half)} {symbol}
        </text>
        <text x={MARGIN} y={SIZE - MARGIN + 18}>
          −{scaleText(half)} {symbol}
        </text>
        {dropM !== undefined && (
          <>
            <path
              class="drop"
              d={`M${x(aim.rightM) - 10} ${y(aim.upM - dropM)}h20M${x(aim.rightM) - 4} ${y(aim.upM - dropM) - 5}l4 5 4 -5`}
            />
            <text x={dropBox.x} y={dropBox.y + TEXT_HEIGHT - 2}>
              drop
            </text>
          </>
        )}
        {impacts.map(({ shotId, at, excluded }, i) => (
          <g key={shotId} class={excluded ? 'impact excluded' : 'impact'}>
            <circle cx={x(at.rightM)} cy={y(at.upM)} r={4.5} />
            {excluded && <path d={`M${x(at.rightM) - 7} ${y(at.upM) + 7}l14 -14`} />}
            {names[i] && (
              <text class="struck" x={names[i].x} y={names[i].y + TEXT_HEIGHT - 2}>
                {numberOfShot(shotId)}
              </text>
            )}
          </g>
        ))}
        {meanAt && (
          <g class="mean">
            {spreadM && <ellipse cx={x(meanAt.rightM)} cy={y(meanAt.upM)} rx={spreadM.right * scale} ry={spreadM.up * scale} />}
            <path d={`M${x(meanAt.rightM) - 7} ${y(meanAt.upM) - 7}l14 14m0 -14l-14 14`} />
          </g>
        )}
        {holdNext && <path class="hold-next" d={`M${x(holdNext.rightM)} ${y(holdNext.upM) - 9}l9 9 -9 9 -9 -9z`} />}
      </svg>
      <figcaption class="detail">
        About the point to be hit, rings in {symbol}. ◌ ball, to scale · + sight · ● impacts · ⊘ excluded · × mean, with 1 σ · ◇ hold next
      </figcaption>
      <SavePicture
        title={`Target plane, ${impacts.length} ${impacts.length === 1 ? 'impact' : 'impacts'}, ${symbol}`}
        drawing={() => (drawing.current ? drawnNode(drawing.current, `Target plane, rings in ${symbol}`) : undefined)}
      />
    </figure>
  );
}

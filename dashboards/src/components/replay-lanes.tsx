/** The session from end to end, a row for each kind of thing that happened in it, and one hand that takes the replay along all of them. */
import { useState } from 'preact/hooks';
import type { ReplayState } from '../../../protocol/index.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { marks } from '../state/replay-marks.ts';
import { LANES, type LaneKind } from '../text/mark-words.ts';
import { sessionTime } from '../text/session-time.ts';
import { timeSteps } from '../text/time-steps.ts';
import { ReplaySlider } from './replay-slider.tsx';
import { useWidth } from './use-width.ts';

const FIGURE_PX = 76;
/** Marks nearer than a thousandth of the line are drawn as one. */
const PLACES = 1_000;

export function ReplayLanes({ state, isFixed }: { readonly state: ReplayState; readonly isFixed: boolean }) {
  ageTick.value;
  const { element, widthPx } = useWidth();
  /** s; while a hand has it. */
  const [held, setHeld] = useState<number>();
  const endS = Math.max(1, state.endNs / 1e9);
  const atS = held ?? (state.seekingNs ?? sessionNowNs()) / 1e9;
  const share = (s: number): string => `${((100 * s) / endS).toFixed(2)}%`;
  return (
    <div class="lanes">
      <ul class="lane-names">
        {LANES.map(({ kind, name }) => (
          <li key={kind}>
            {name} <span class="quiet figures">{countOf(kind, state)}</span>
          </li>
        ))}
      </ul>
      <div class="lane-field" ref={element}>
        <svg class="lane-marks" aria-hidden="true">
          <rect class="read" x="0" y="0" width={share(state.readToNs / 1e9)} height="100%" />
          {timeSteps(endS, widthPx, FIGURE_PX).map((s) => (
            <line key={s} class="step" x1={share(s)} x2={share(s)} y1="0" y2="100%" />
          ))}
        </svg>
        {LANES.map(({ kind }) => (
          <LaneMarks key={kind} kind={kind} state={state} />
        ))}
        <svg class="lane-now" aria-hidden="true">
          <line x1={share(atS)} x2={share(atS)} y1="0" y2="100%" />
        </svg>
        <ReplaySlider state={state} atS={atS} isFixed={isFixed} onHeld={setHeld} />
      </div>
      <svg class="lane-times figures" aria-hidden="true">
        {timeSteps(endS, widthPx, FIGURE_PX).map((s) => (
          <text key={s} x={share(s)} y="14" text-anchor={s === 0 ? 'start' : s > 0.93 * endS ? 'end' : 'middle'}>
            {sessionTime(s * 1e9)}
          </text>
        ))}
      </svg>
    </div>
  );
}

/** Long where it was trouble, short else: a length as well as a colour. */
function LaneMarks({ kind, state }: { readonly kind: LaneKind; readonly state: ReplayState }) {
  const endNs = Math.max(1e9, state.endNs);
  /** Whether trouble is among what is drawn there. */
  const places = new Map<number, boolean>();
  const add = (atNs: number, isTrouble: boolean) => {
    const place = Math.round((PLACES * atNs) / endNs);
    places.set(place, isTrouble || (places.get(place) ?? false));
  };
  if (kind === 'shot') for (const { firedAtNs } of state.shots) add(firedAtNs, true);
  else for (const mark of marks.value) if (mark.kind === kind) add(mark.atNs, mark.isTrouble);
  return (
    <svg class="lane" aria-hidden="true">
      {[...places].map(([place, isTrouble]) => {
        const x = `${(100 * place) / PLACES}%`;
        return (
          <line key={place} class={isTrouble ? 'loud' : ''} x1={x} x2={x} y1={isTrouble ? '8%' : '30%'} y2={isTrouble ? '92%' : '70%'} />
        );
      })}
    </svg>
  );
}

function countOf(kind: LaneKind, state: ReplayState): number {
  return kind === 'shot' ? state.shots.length : marks.value.reduce((count, mark) => count + (mark.kind === kind ? 1 : 0), 0);
}

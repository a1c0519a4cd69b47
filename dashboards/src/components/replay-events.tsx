/** All that was told in the recorded session, to be read and gone to. */
import { useState } from 'preact/hooks';
import type { ReplayState } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { command } from '../state/replay.ts';
import { marks, marksProblem } from '../state/replay-marks.ts';
import { LANES, type LaneKind } from '../text/mark-words.ts';
import { sessionTime } from '../text/session-time.ts';

/** A page of them, none of which is out of sight. */
const ROWS_SHOWN = 12;

interface Told {
  readonly atNs: number;
  readonly kind: LaneKind;
  readonly text: string;
  readonly isTrouble: boolean;
  /** Where it is a shot, which is gone to by its name: all of it comes later than its firing. */
  readonly shotId?: string;
}

export function ReplayEvents({ state }: { readonly state: ReplayState }) {
  ageTick.value;
  const [kind, setKind] = useState<LaneKind | ''>('');
  /** Undefined: the page of rows that the moment shown is in, which stays while it moves through them. */
  const [first, setFirst] = useState<number>();
  const nowNs = sessionNowNs();
  const all = toldIn(state).filter((told) => kind === '' || told.kind === kind);
  const passed = all.filter(({ atNs }) => atNs <= nowNs).length;
  const from = Math.min(first ?? pageStart(passed - 1), pageStart(all.length - 1));
  return (
    <section class="panel replay-events" aria-labelledby="replay-events-title">
      <div class="panel-head">
        <h2 id="replay-events-title">What happened</h2>
        <label class="replay-kind">
          <span>Show</span>
          <select
            value={kind}
            onChange={(event) => {
              setKind(event.currentTarget.value as LaneKind | '');
              setFirst(undefined);
            }}
          >
            <option value="">everything</option>
            {LANES.map((lane) => (
              <option key={lane.kind} value={lane.kind}>
                {lane.name.toLowerCase()}
              </option>
            ))}
          </select>
        </label>
      </div>
      {marksProblem.value !== '' && <p class="notice">What was told could not be fetched: {marksProblem.value}.</p>}
      {(state.marksLeftOut ?? 0) > 0 && <p class="notice">A further {state.marksLeftOut} are in the journal and not listed here.</p>}
      {all.length === 0 ? (
        <p class="empty">{state.isRead ? 'Nothing.' : 'Nothing so far; the journal is still being read.'}</p>
      ) : (
        <>
          <Rows rows={all.slice(from, from + ROWS_SHOWN)} nowNs={nowNs} />
          {all.length > ROWS_SHOWN && (
            <div class="replay-pages">
              <button type="button" disabled={from === 0} onClick={() => setFirst(Math.max(0, from - ROWS_SHOWN))}>
                Earlier
              </button>
              <span class="figures">
                {from + 1} to {Math.min(all.length, from + ROWS_SHOWN)} of {all.length}
              </span>
              <button type="button" disabled={from + ROWS_SHOWN >= all.length} onClick={() => setFirst(from + ROWS_SHOWN)}>
                Later
              </button>
              <button type="button" disabled={first === undefined} onClick={() => setFirst(undefined)}>
                At the moment shown
              </button>
            </div>
          )}
        </>
      )}
    </section>
  );
}

function Rows({ rows, nowNs }: { readonly rows: readonly Told[]; readonly nowNs: number }) {
  const newest = rows.findLastIndex(({ atNs }) => atNs <= nowNs);
  return (
    <ol class="told">
      {rows.map((told, index) => (
        <li key={`${told.atNs} ${told.text}`} class={index > newest ? 'to-come' : ''} aria-current={index === newest ? 'time' : undefined}>
          <Place told={told} />
          <span class="told-kind">
            {told.isTrouble && told.kind !== 'shot' ? '⚠ ' : ''}
            {LANES.find(({ kind }) => kind === told.kind)?.one}
          </span>
          <span class="told-text">{told.text}</span>
        </li>
      ))}
    </ol>
  );
}

function Place({ told }: { readonly told: Told }) {
  const time = sessionTime(told.atNs, true);
  if (token.value === undefined) return <span class="told-time figures">{time}</span>;
  const go = () => command(told.shotId === undefined ? { do: 'seek', toNs: told.atNs } : { do: 'shot', shotId: told.shotId });
  return (
    <button type="button" class="told-time figures" aria-label={`Go to ${time}: ${told.text}`} onClick={() => void go()}>
      {time}
    </button>
  );
}

const pageStart = (index: number): number => ROWS_SHOWN * Math.floor(Math.max(0, index) / ROWS_SHOWN);

function toldIn({ shots }: ReplayState): readonly Told[] {
  const fired = shots.map(({ id, number, firedAtNs }): Told => {
    return { atNs: firedAtNs, kind: 'shot', text: `Shot ${number} fired.`, isTrouble: false, shotId: id };
  });
  return [...marks.value, ...fired].sort((a, b) => a.atNs - b.atNs);
}

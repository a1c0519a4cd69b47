/** What moves a replay: play and pause, speed, shot by shot, and any moment of the session. */
import type { ReplaySpeed, ReplayState } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { command, replay, replayProblem } from '../state/replay.ts';
import { sessionTime } from '../text/session-time.ts';
import { clockText } from '../text/time-text.ts';
import { ReplayTimeLine } from './replay-time-line.tsx';

const SPEEDS: readonly ReplaySpeed[] = [0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 60, 'max'];

export function ReplayBar() {
  const state = replay.value;
  if (!state) return null;
  return (
    <section class="replay-bar" aria-label="Replay">
      <Times state={state} />
      {token.value === undefined ? (
        <p>This page may only look. To move the replay from here, open it by the address that its terminal printed.</p>
      ) : (
        <Controls state={state} />
      )}
      <ReplayTimeLine state={state} isFixed={token.value === undefined} />
      <p class="replay-word" role="status">
        {wordsOf(state)}
      </p>
    </section>
  );
}

function Times({ state }: { readonly state: ReplayState }) {
  ageTick.value;
  const nowNs = sessionNowNs();
  const utcMs = (session.value?.originUtcMs ?? Number.NaN) + nowNs / 1e6;
  return (
    <dl class="replay-times figures">
      <div>
        <dt>Session time</dt>
        <dd>
          {sessionTime(nowNs, true)} <small>of {sessionTime(state.endNs)}</small>
        </dd>
      </div>
      <div>
        <dt>Recorded, UTC</dt>
        <dd>{clockText(utcMs)}</dd>
      </div>
    </dl>
  );
}

function Controls({ state }: { readonly state: ReplayState }) {
  const { playing, speed, shots } = state;
  const speeds = SPEEDS.includes(speed) ? SPEEDS : [speed, ...SPEEDS];
  return (
    <div class="replay-controls">
      <button type="button" onClick={() => void command({ do: 'step', to: 'previous' })}>
        Previous shot
      </button>
      <button type="button" class="replay-play" onClick={() => void command({ do: playing ? 'pause' : 'play' })}>
        {playing ? 'Pause' : 'Play'}
      </button>
      <button type="button" onClick={() => void command({ do: 'step', to: 'next' })}>
        Next shot
      </button>
      <label>
        <span>Speed</span>
        <select value={String(speed)} onChange={(event) => void command({ do: 'speed', speed: speedOf(event.currentTarget.value) })}>
          {speeds.map((each) => (
            <option key={each} value={String(each)}>
              {each === 'max' ? 'As fast as it goes' : `${each} ×`}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Go to</span>
        <select
          value=""
          onChange={(event) => {
            const shotId = event.currentTarget.value;
            event.currentTarget.value = '';
            if (shotId !== '') void command({ do: 'shot', shotId });
          }}
        >
          <option value="">{shots.length === 0 ? 'No shot yet' : 'A shot …'}</option>
          {shots.map(({ id, number, firedAtNs }) => (
            <option key={id} value={id}>
              Shot {number}, {sessionTime(firedAtNs)}
            </option>
          ))}
        </select>
      </label>
    </div>
  );
}

const speedOf = (text: string): ReplaySpeed => (text === 'max' ? 'max' : Number(text));

/** What it waits for, or why it did not do the last thing that it was told. */
function wordsOf({ seekingNs, readToNs, isRead, endNs }: ReplayState): string {
  if (seekingNs !== undefined && readToNs < seekingNs) {
    return `On its way to ${sessionTime(seekingNs)}: the journal has been read to ${sessionTime(readToNs)}.`;
  }
  if (replayProblem.value !== '') return replayProblem.value;
  return isRead ? '' : `Reading ahead: ${Math.floor((100 * readToNs) / Math.max(1, endNs))} %. What has been read can be gone to at once.`;
}

/** What moves a replay but its time line: shot by shot, play and pause, the speed, a shot to go to. */
import type { ReplaySpeed, ReplayState } from '../../../protocol/index.ts';
import { command } from '../state/replay.ts';
import { sessionTime } from '../text/session-time.ts';

const SPEEDS: readonly ReplaySpeed[] = [0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 60, 'max'];

export function ReplayControls({ state }: { readonly state: ReplayState }) {
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

import type { HoldPointState } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { perform } from '../state/operator.ts';
import { clockText } from '../text/time-text.ts';

export interface HoldPointRowProps {
  readonly point: HoldPointState;
  readonly isNext: boolean;
  /** Points before it that were not done when it was ticked. */
  readonly aheadOf: readonly string[];
}

/** One point: done, next or missing, by whom and when, or what the instruments say of it. */
export function HoldPointRow({ point, isNext, aheadOf }: HoldPointRowProps) {
  const { id, name, by, done } = point;
  const verb = done ? 'Take back' : 'Tick';
  return (
    <li class={`${done ? 'is-done' : 'is-missing'} ${isNext ? 'is-next' : ''}`}>
      <Mark isDone={done} />
      <div>
        <p class="hold-name">
          {name} <span class="hold-state">{done ? 'done' : isNext ? 'next' : 'missing'}</span>
        </p>
        <p class="hold-detail figures">
          {said(point)}
          {aheadOf.length > 0 && <strong class="out-of-turn">ticked ahead of: {aheadOf.join('; ')}</strong>}
        </p>
      </div>
      {by === 'crew' && token.value !== undefined && (
        <button
          type="button"
          aria-label={`${verb}: ${name}`}
          onClick={() => void perform({ act: 'hold-point', holdPointId: id, done: !done }, `${verb}: ${name}`)}
        >
          {verb}
        </button>
      )}
    </li>
  );
}

/** A time only where something happened: the crew's own point has none before anybody has touched it. */
function said({ by, done, who, detail, sinceNs }: HoldPointState): string {
  const at = clockText((session.value?.originUtcMs ?? Number.NaN) + sinceNs / 1e6);
  if (by === 'condition') return listed(['Seen by the instruments', detail, `since ${at}`]);
  if (done) return listed([who, detail, at]);
  const why = listed([who === '' ? '' : `taken back by ${who}`, detail]);
  return why === '' ? '' : listed([why, at]);
}

const listed = (parts: readonly string[]): string => parts.filter((part) => part !== '').join(', ');

/** A ticked or an empty box: the shape says it, not the colour. */
function Mark({ isDone }: { readonly isDone: boolean }) {
  return (
    <svg class="hold-mark" width="28" height="28" viewBox="0 0 28 28" aria-hidden="true">
      <rect x="3" y="3" width="22" height="22" />
      {isDone && <path d="M7 14l5 6 9-12" />}
    </svg>
  );
}

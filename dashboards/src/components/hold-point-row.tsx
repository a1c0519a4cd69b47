import type { HoldPointState } from '../../../protocol/index.ts';
import { session } from '../state/live-state.ts';
import { perform, token } from '../state/operator.ts';
import { clockText } from '../text/time-text.ts';

/** One point: done or missing, by whom and when, or what the instruments say of it. */
export function HoldPointRow({ point }: { readonly point: HoldPointState }) {
  const { id, name, by, done, who, detail, sinceNs } = point;
  const verb = done ? 'Take back' : 'Tick';
  const at = clockText((session.value?.originUtcMs ?? Number.NaN) + sinceNs / 1e6);
  return (
    <li class={done ? 'is-done' : 'is-missing'}>
      <Mark isDone={done} />
      <div>
        <p class="hold-name">
          {name} <span class="hold-state">{done ? 'done' : 'missing'}</span>
        </p>
        <p class="hold-detail figures">
          {[by === 'condition' ? 'Seen by the instruments' : done ? who : who === '' ? '' : `taken back by ${who}`, detail, at]
            .filter((part) => part !== '')
            .join(', ')}
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

/** A ticked or an empty box: the shape says it, not the colour. */
function Mark({ isDone }: { readonly isDone: boolean }) {
  return (
    <svg class="hold-mark" width="28" height="28" viewBox="0 0 28 28" aria-hidden="true">
      <rect x="3" y="3" width="22" height="22" />
      {isDone && <path d="M7 14l5 6 9-12" />}
    </svg>
  );
}

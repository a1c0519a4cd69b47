/** What the pages of map and drag have in common: waiting, choosing, and which shots are not in it. */
import type { Fetched } from '../state/asked.ts';
import { session } from '../state/live-state.ts';

export function NotHere({ now, what }: { readonly now: Exclude<Fetched<unknown>, { state: 'here' }>; readonly what: string }) {
  const words = {
    waiting: 'The host is working it out…',
    none: `This host makes no ${what} for its pages.`,
    failed: `The ${what} could not be had: ${now.state === 'failed' ? now.why : ''}.`,
  };
  return <p class="empty">{words[now.state]}</p>;
}

/** A live session’s are made of all stored shots. */
export function OfReplay() {
  if (session.value?.mode !== 'replay') return null;
  return (
    <p class="notice">
      A replay: made of the shots of its session alone, up to the moment shown, and under the rig file that it is replayed with.
    </p>
  );
}

export interface KindChoiceProps {
  readonly label: string;
  /** Of each kind; one that is alone needs no choice. */
  readonly names: readonly string[];
  readonly chosen: number;
  readonly choose: (index: number) => void;
}

export function KindChoice({ label, names, chosen, choose }: KindChoiceProps) {
  if (names.length < 2) return null;
  return (
    <label class="map-kind">
      {label}
      <select value={chosen} onChange={(event) => choose(Number(event.currentTarget.value))}>
        {names.map((name, i) => (
          <option key={name} value={i}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}

type Why = readonly { readonly shotId: string; readonly why: string }[];

/** @param words  such as `of which no map can be made` */
export function Without({ without, words }: { readonly without: Why; readonly words: string }) {
  if (without.length === 0) return null;
  return (
    <p class="quiet">
      {without.length} shots {words}: {without[0]?.why}.
    </p>
  );
}

export function LeftOutShots({ leftOut, of }: { readonly leftOut: Why; readonly of: string }) {
  if (leftOut.length === 0) return null;
  return (
    <details>
      <summary>
        Not in the {of}: {leftOut.length}
      </summary>
      <ul>
        {leftOut.map(({ shotId, why }) => (
          <li key={shotId}>
            {shotId}: {why}
          </li>
        ))}
      </ul>
    </details>
  );
}

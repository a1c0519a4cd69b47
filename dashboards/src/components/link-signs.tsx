/** Each link's state, small and near the top: a lost one is seen without looking for it. */
import { boards, rig } from '../state/live-state.ts';
import { boardNames } from '../text/board-names.ts';
import { isUp, LINK_WORDS } from '../text/link-words.ts';

export function LinkSigns() {
  const names = boardNames(rig.value, boards.value);
  if (names.length === 0) return null;
  return (
    <section aria-label="Links">
      <ul class="link-signs">
        {names.map((name) => {
          const change = boards.value[name]?.link?.change;
          return (
            <li key={name} class={isUp(change) ? 'up' : 'down'}>
              <span>{name}</span> <b>{change ? LINK_WORDS[change] : 'Not seen yet'}</b>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

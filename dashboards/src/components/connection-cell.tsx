import { type Connection, connection } from '../state/connection.ts';
import { session } from '../state/live-state.ts';

const WORDS: Readonly<Record<Connection, string>> = {
  connecting: 'Connecting…',
  connected: 'Connected',
  silent: 'No word',
  lost: 'LOST',
};

/** State of the line between this page and the host. */
export function ConnectionCell() {
  const state = connection.value;
  return (
    <dl class={`host-cell ${state === 'connected' ? 'good' : 'bad'}`}>
      <dt>Host</dt>
      <dd>
        {WORDS[state]}
        {session.value?.mode === 'replay' ? ', replay' : ''}
      </dd>
    </dl>
  );
}

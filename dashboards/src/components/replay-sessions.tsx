/** On a live host: the sessions that there are to replay. */

import { useEffect, useState } from 'preact/hooks';
import { CALLED_AS } from '../called-as.ts';
import { token } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { askedSession } from '../state/replay-place.ts';
import { askSideReplay, beginReplay, fetchSessions, type StoredSession, sessions, sessionsProblem } from '../state/sessions.ts';
import { clockText, dateText } from '../text/time-text.ts';
import { canReachSideReplay, SideReplayLink } from './side-replay-link.tsx';

const ROWS_MORE = 50;

export function ReplaySessions() {
  const [shown, setShown] = useState(ROWS_MORE);
  const running = session.value?.sessionId;
  useEffect(() => {
    void fetchSessions();
    void askSideReplay();
  }, [running]);
  const all = sessions.value?.filter(({ id }) => id !== running);
  const wanted = askedSession.value;
  return (
    <section class="panel replay-sessions" aria-labelledby="replay-sessions-title">
      <h2 id="replay-sessions-title">Sessions to replay</h2>
      <p>
        This host shows the session that is running. A recorded one is replayed beside it, by a program of its own with an address of its
        own, so that nothing of the recording waits for it; one at a time.
      </p>
      {canReachSideReplay && <SideReplayLink />}
      {wanted !== undefined && all && !all.some(({ id }) => id === wanted) && wanted !== running && (
        <p class="notice">The address is of session {wanted}, which this host’s data folder does not have.</p>
      )}
      {sessionsProblem.value !== '' && <p class="notice">The sessions could not be asked for: {sessionsProblem.value}.</p>}
      {!all && sessionsProblem.value === '' && <p class="empty">Asking the host…</p>}
      {all?.length === 0 && <p class="empty">No earlier session in this host’s data folder.</p>}
      {all && all.length > 0 && (
        <ul class="sessions">
          {all.slice(0, shown).map((each) => (
            <SessionRow key={each.id} stored={each} isWanted={each.id === wanted} />
          ))}
        </ul>
      )}
      {all && all.length > shown && (
        <button type="button" onClick={() => setShown(shown + ROWS_MORE)}>
          Older sessions ({all.length - shown})
        </button>
      )}
    </section>
  );
}

function SessionRow({ stored, isWanted }: { readonly stored: StoredSession; readonly isWanted: boolean }) {
  const { id, openedAt, rig, site, shots, shotsFlagged } = stored;
  const openedMs = Date.parse(openedAt);
  return (
    <li class={isWanted ? 'is-wanted' : ''} aria-current={isWanted ? 'true' : undefined}>
      <h3>
        {dateText(openedMs)}, {clockText(openedMs)} <small>UTC · {id}</small>
      </h3>
      <p class="figures">
        {rig}, {site}. {shots === 1 ? '1 shot' : `${shots} shots`}
        {shotsFlagged > 0 && `, ${shotsFlagged} of them flagged`}.
      </p>
      {canReachSideReplay && token.value !== undefined ? (
        <button type="button" aria-label={`Replay session ${id}`} onClick={() => void beginReplay(id)}>
          Replay it
        </button>
      ) : (
        <code class="command">{`${CALLED_AS} replay DATA/journals/${id}.mcap --pace 1`}</code>
      )}
    </li>
  );
}

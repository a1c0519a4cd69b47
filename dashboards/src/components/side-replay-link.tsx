import { keyFragment } from '../state/keys.ts';
import { sideReplay, sideReplayWord } from '../state/sessions.ts';

/** A replay has a port of its own, which a proxy that ends TLS before this host does not bring. */
export const canReachSideReplay = location.protocol === 'http:';

/** Where the replay beside the live session is to be seen. */
export function SideReplayLink() {
  const running = sideReplay.value;
  return (
    <div role="status">
      {sideReplayWord.value !== '' && <p class="notice">{sideReplayWord.value}</p>}
      {running && (
        <p class="notice">
          Session {running.sessionId} is being replayed.{' '}
          <a class="button" href={addressOf(running.port, running.sessionId)} target="_blank" rel="noopener">
            Open the replay
          </a>
        </p>
      )}
    </div>
  );
}

function addressOf(port: number, sessionId: string): string {
  const address = new URL('/replay', location.href);
  address.port = String(port);
  address.search = `?session=${encodeURIComponent(sessionId)}`;
  address.hash = keyFragment();
  return address.href;
}

/** The line to the host: opens it, notices when it falls silent, opens it again and takes up where it broke off. */
import { signal } from '@preact/signals';
import { keyHeaders, liveProtocols, whenKeyComes } from './keys.ts';
import { resumePoint, takeText } from './live-state.ts';
import { soundWanted, vibrationWanted, voiceWanted } from './preferences.ts';

export type Connection = 'connecting' | 'connected' | 'silent' | 'lost';

export const connection = signal<Connection>('connecting');
/** The host is there and wants a key that this page does not have. */
export const isKeyMissing = signal(false);
/** When the host was last heard, ms of performance.now(); undefined before the first word. */
let heardMs: number | undefined;
/** How long ago the host was last heard, s. Not reactive: read `ageTick` beside it. */
export const silenceS = (): number => (heardMs === undefined ? 0 : (performance.now() - heardMs) / 1000);

/** The host speaks ten times a second; so long without a word is silence. */
const SILENT_AFTER_MS = 1_000;
/** After so long a silence the line is given up and opened anew. */
const GIVE_UP_AFTER_MS = 5_000;
const RETRY_MS = { first: 500, most: 5_000 } as const;
const LOOK_EVERY_MS = 250;
/** So long out of sight, and it lets go of the line; a look at something else for a moment does not. */
const REST_AFTER_MS = 5_000;

/** A page in sight is read, and one that calls out is heard; any other costs the phone's battery and the host for nothing. */
const isOfUse = (): boolean => !document.hidden || soundWanted.peek() || vibrationWanted.peek() || voiceWanted.peek();

export function startConnection(): void {
  let socket: WebSocket | undefined;
  let retryMs: number = RETRY_MS.first;
  let openedMs = 0;
  let retrying: ReturnType<typeof setTimeout> | undefined;
  let looking: ReturnType<typeof setInterval> | undefined;
  let restingSoon: ReturnType<typeof setTimeout> | undefined;
  let isResting = false;

  const open = () => {
    looking ??= setInterval(look, LOOK_EVERY_MS);
    const made = new WebSocket(liveAddress(), liveProtocols());
    let isHeard = false;
    socket = made;
    openedMs = performance.now();
    made.onmessage = (message) => {
      retryMs = RETRY_MS.first;
      isHeard = true;
      isKeyMissing.value = false;
      heardMs = performance.now();
      connection.value = 'connected';
      takeText(String(message.data));
    };
    made.onclose = () => {
      if (!isHeard) void askForKey();
      if (socket === made) retryLater();
    };
  };

  const retryLater = () => {
    socket = undefined;
    connection.value = heardMs === undefined ? 'connecting' : 'lost';
    clearTimeout(retrying);
    retrying = setTimeout(open, retryMs);
    retryMs = Math.min(retryMs * 2, RETRY_MS.most);
  };

  const look = () => {
    if (!socket) return;
    const quietMs = performance.now() - Math.max(heardMs ?? 0, openedMs);
    if (quietMs > SILENT_AFTER_MS && connection.peek() === 'connected') connection.value = 'silent';
    if (quietMs <= GIVE_UP_AFTER_MS) return;
    // A dead line may take minutes to report that it is closed: do not wait for it.
    const dead = socket;
    dead.onmessage = null;
    retryLater();
    dead.close();
  };

  const rest = () => {
    if (isOfUse()) return;
    isResting = true;
    clearTimeout(retrying);
    clearInterval(looking);
    looking = undefined;
    const unused = socket;
    socket = undefined;
    connection.value = 'connecting';
    if (!unused) return;
    unused.onmessage = null;
    unused.close();
  };

  const followSight = () => {
    clearTimeout(restingSoon);
    if (document.hidden) restingSoon = setTimeout(rest, REST_AFTER_MS);
    else if (isResting) {
      isResting = false;
      retryMs = RETRY_MS.first;
      open();
    }
  };
  whenKeyComes(() => {
    if (!isKeyMissing.peek() || isResting) return;
    clearTimeout(retrying);
    socket?.close();
    open();
  });
  document.addEventListener('visibilitychange', followSight);
  followSight();
  open();
}

/** A browser does not tell a page why its WebSocket was turned away. */
async function askForKey(): Promise<void> {
  try {
    const answer = await fetch('/api/health', { headers: keyHeaders(), signal: AbortSignal.timeout(GIVE_UP_AFTER_MS) });
    isKeyMissing.value = answer.status === 401;
  } catch {
    // No host: that is told as such.
  }
}

function liveAddress(): string {
  const address = new URL('/live', location.href);
  address.protocol = address.protocol === 'https:' ? 'wss:' : 'ws:';
  const resume = resumePoint();
  if (resume) {
    address.searchParams.set('session', resume.sessionId);
    address.searchParams.set('since', String(resume.since));
  }
  address.hash = '';
  return address.href;
}

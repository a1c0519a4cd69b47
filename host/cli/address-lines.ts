/** Said once, on the terminal and nowhere else: where the page is, and the keys to it. */
import type { RunningServer } from '../serve/index.ts';
import { addressesOf, type Listening } from './listening.ts';

/** @param whose  what is watched there, such as `Session 20260314T093000Z`; left out, it has been said */
export function watchLines(server: Pick<RunningServer, 'url' | 'port'>, listening: Listening, whose?: string): readonly string[] {
  const { lookToken } = listening.doors;
  const watch = whose === undefined ? 'Watch it at' : `${whose}: watch it at`;
  if (lookToken === undefined) return [`${watch} ${server.url}`];
  const addresses = addressesOf(server, listening).map((address) => `  ${address}${listening.areTokensKnown ? '' : `#look=${lookToken}`}`);
  const key = listening.areTokensKnown
    ? 'with #look=TOKEN behind it, the token to look from your file'
    : 'each with the key to look, for those who may watch';
  return [`${watch}, ${key}:`, ...addresses, ...OVERHEARD];
}

export function crewLine({ url }: Pick<RunningServer, 'url'>, { doors, areTokensKnown }: Listening): string {
  const act = 'To tick, set to zero and acknowledge there, open';
  if (areTokensKnown) return `${act} ${url} with #token=TOKEN behind it, the crew's token from your file.`;
  const elsewhere = doors.lookToken === undefined ? '' : '; from another computer, an address above with this #token=… in place of #look=…';
  return `${act} ${url}#token=${doors.crewToken} (a key to this session: keep it in the crew${elsewhere}).`;
}

/** What http means on a network. */
const OVERHEARD = [
  'This is plain HTTP: whoever can listen in on the network can read these keys and act as the crew. docs/security.md says how to put TLS before it.',
];

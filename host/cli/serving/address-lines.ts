/** Said once, on the terminal and nowhere else: where the page is, and the keys to it. */
import type { RunningServer } from '../../serve/index.ts';
import { addressesOf, type Listening } from './listening.ts';

/** @param whose  what is watched there, such as `Session 20260314T093000Z`; left out, it has been said */
export function watchLines(server: Pick<RunningServer, 'url' | 'port'>, listening: Listening, whose?: string): readonly string[] {
  const { doors, tokensIn } = listening;
  const watch = whose === undefined ? 'Watch it at' : `${whose}: watch it at`;
  if (doors.lookToken === undefined) return [`${watch} ${server.url}`];
  const isSaid = tokensIn === 'terminal';
  const key = isSaid
    ? 'each with the key to look, for those who may watch'
    : `with #look=TOKEN behind it, the token to look ${WHERE[tokensIn]}`;
  const addresses = addressesOf(server, listening).map((address) => `  ${address}${isSaid ? `#look=${doors.lookToken}` : ''}`);
  return [`${watch}, ${key}:`, ...addresses, ...OVERHEARD];
}

export function crewLine({ url }: Pick<RunningServer, 'url'>, { doors, tokensIn }: Listening): string {
  const act = 'To tick, set to zero and acknowledge there, open';
  if (tokensIn !== 'terminal') return `${act} ${url} with #token=TOKEN behind it, the crew's token ${WHERE[tokensIn]}.`;
  const elsewhere = doors.lookToken === undefined ? '' : '; from another computer, an address above with this #token=… in place of #look=…';
  return `${act} ${url}#token=${doors.crewToken} (a key to this session: keep it in the crew${elsewhere}).`;
}

/** Of a replay. */
export function moveLine({ url }: Pick<RunningServer, 'url'>, { doors, tokensIn }: Listening): string {
  const act = 'To pause it and move about in it there, open';
  if (tokensIn !== 'terminal') return `${act} ${url} with #token=TOKEN behind it, the crew's token ${WHERE[tokensIn]}.`;
  const elsewhere =
    doors.lookToken === undefined ? '' : ' (from another computer, an address above with this #token=… in place of #look=…)';
  return `${act} ${url}#token=${doors.crewToken}${elsewhere}.`;
}

const WHERE = { 'own-file': 'from your file', 'host-file': 'from host.json in the data folder' } as const;

/** What http means on a network. */
const OVERHEARD = [
  'This is plain HTTP: whoever can listen in on the network can read these keys and act as the crew. docs/security.md says how to put TLS before it.',
];

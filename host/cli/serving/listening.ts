/** Where a command serves its page, and what whoever comes there must show. */
import { networkInterfaces } from 'node:os';
import { type Doors, isLoopback, newToken, type RunningServer, urlOf } from '../../serve/index.ts';
import { CommandError } from '../output.ts';
import type { Endpoint } from './endpoint.ts';
import { readTokenFile } from './token-file.ts';

/** As it stands on the command line. */
export interface ListenOptions {
  readonly port: number;
  /** Left out, loopback. */
  readonly listen?: Endpoint;
  /** Names by which it is asked besides its addresses. */
  readonly name?: readonly string[];
  /** A file with tokens of one's own. */
  readonly tokens?: string;
}

/** What the server is told. */
export interface Listening {
  readonly host: string;
  readonly port: number;
  readonly doors: Doors & { readonly crewToken: string };
  /** Where whoever runs this finds the tokens: on the terminal, and there only, unless it is no terminal but a log. */
  readonly tokensIn: 'terminal' | 'own-file' | 'host-file';
}

/**
 * Beyond loopback, or where others come through a proxy that stands before it under a name, looking needs a token too.
 * @throws CommandError with exit code 2 where a file of tokens does not hold
 */
export function listeningOf(
  { port, listen, name: names = [], tokens: file }: ListenOptions,
  // By it systemd says that standard output goes into its log.
  isLogged = process.env.JOURNAL_STREAM !== undefined,
): Listening {
  const { host = '127.0.0.1', port: ownPort = port } = listen ?? {};
  const given = file === undefined ? undefined : readTokenFile(file);
  const isOpenToOthers = !isLoopback(host) || names.length > 0;
  if (given && isOpenToOthers && given.look === undefined) {
    throw new CommandError(`${file} has no token to look, which listening beyond this computer needs; add "look".`, 2);
  }
  const lookToken = given?.look ?? (isOpenToOthers ? newToken() : undefined);
  const doors = { names, lookToken, crewToken: given?.crew ?? newToken() };
  return { host, port: ownPort, doors, tokensIn: given ? 'own-file' : isLogged ? 'host-file' : 'terminal' };
}

/** The addresses to open in a browser: of the server's own computer first, then as others in its networks reach it. */
export function addressesOf({ url, port }: Pick<RunningServer, 'url' | 'port'>, { host, doors }: Listening): readonly string[] {
  const named = (doors.names ?? []).map((name) => urlOf(name, port));
  return [...new Set([url, ...networkAddresses(host).map((address) => urlOf(address, port)), ...named])];
}

/** As others reach it, this computer's own address left out. */
export function outerAddresses(listening: Listening, port: number): readonly string[] {
  const { host, doors } = listening;
  const own = isLoopback(host) || isEverywhere(host) ? [] : [host];
  return [...own, ...networkAddresses(host), ...(doors.names ?? [])].map((each) => urlOf(each, port));
}

const isEverywhere = (host: string): boolean => host === '0.0.0.0' || host === '::';

function networkAddresses(host: string): readonly string[] {
  if (!isEverywhere(host)) return [];
  const all = Object.values(networkInterfaces()).flatMap((addresses) => addresses ?? []);
  // A link-local address needs a zone, which no browser takes.
  return all
    .filter(({ internal, family, address }) => !internal && (family === 'IPv4' || (host === '::' && !/^fe[89ab]/i.test(address))))
    .map(({ address }) => address);
}

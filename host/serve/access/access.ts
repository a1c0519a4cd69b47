/**
 * Decides for each request: let in to look or to write, or turned away. It knows names, origins and tokens and nothing
 * of what is asked for; a route says which right it needs (`config.access`), and one that says nothing needs `look`.
 */
import type { IncomingHttpHeaders } from 'node:http';
import { answersTo } from './host-name.ts';
import { isFromElsewhere, isOwnOrigin } from './origin.ts';
import { bearerOf, isToken } from './token.ts';

export interface Doors {
  /** Names under which this host is asked, besides its addresses. */
  readonly names?: readonly string[];
  /** Whoever looks must show it, or the crew's. Left out, whoever reaches the port may look. */
  readonly lookToken?: string | undefined;
  /** Whoever writes must show it. Left out, nobody can write. */
  readonly crewToken?: string | undefined;
}

/**
 * `open` is for what holds no data: the files of the page itself, which must be there before it can show a token. `crew`
 * looks at what only they should see; `write` changes something.
 */
export type Right = 'open' | 'look' | 'crew' | 'write';

export interface Refusal {
  readonly status: 401 | 403 | 421;
  readonly code: string;
  readonly message: string;
}

/** What is known of a request before anything of it is acted upon. */
export interface Knock {
  readonly headers: IncomingHttpHeaders;
  /** Of the connection's end here. */
  readonly localAddress: string | undefined;
}

export class Access {
  readonly names: ReadonlySet<string>;
  readonly #lookToken: string | undefined;
  readonly #crewToken: string | undefined;

  constructor({ names = [], lookToken, crewToken }: Doors) {
    this.names = new Set(names.map((name) => name.toLowerCase()));
    this.#lookToken = lookToken;
    this.#crewToken = crewToken;
  }

  /** @returns undefined where this host may be asked by that name */
  wrongName({ headers, localAddress }: Knock): Refusal | undefined {
    return answersTo(headers.host, localAddress, this.names) ? undefined : NOT_THIS_HOST;
  }

  /** Whether whoever shows it may act for the crew. */
  mayAct(token: string | undefined): boolean {
    return isToken(token, this.#crewToken);
  }

  /**
   * Of a request that came by a right name.
   * @param token  what it shows
   * @returns undefined where it may
   */
  refusal(right: Right, headers: IncomingHttpHeaders, token = bearerOf(headers)): Refusal | undefined {
    if (right === 'open') return undefined;
    if (isFromElsewhere(headers) || !isOwnOrigin(headers.origin, headers.host ?? '', this.names)) return NOT_THIS_PAGE;
    if (right === 'write' || right === 'crew') return isToken(token, this.#crewToken) ? undefined : NO_CREW_TOKEN;
    if (this.#lookToken === undefined) return undefined;
    const [mayLook, mayWrite] = [isToken(token, this.#lookToken), isToken(token, this.#crewToken)];
    return mayLook || mayWrite ? undefined : NO_LOOK_TOKEN;
  }
}

const NOT_THIS_HOST: Refusal = {
  status: 421,
  code: 'not-this-host',
  message: 'this host does not answer to that name; use an address that it printed when it started',
};
const NOT_THIS_PAGE: Refusal = { status: 403, code: 'not-this-page', message: 'only this host’s own page may ask for that' };
const NO_LOOK_TOKEN: Refusal = {
  status: 401,
  code: 'no-token',
  message: 'show a token of the session to look; the terminal gave it, in an address, when the session began',
};
const NO_CREW_TOKEN: Refusal = {
  status: 401,
  code: 'no-token',
  message: 'show the session’s token; the terminal gave it, in an address, when the session began',
};

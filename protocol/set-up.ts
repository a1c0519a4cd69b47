/** What the Set-up page asks of the host: the rig file, who is connected, and by which tokens. */

/** One thing that is wrong with a rig file, and where. */
export interface RigFinding {
  /** From 1; 0 where it is about the file as a whole. */
  readonly line: number;
  readonly column: number;
  /** Such as `channels.0.slope`; empty where it is not about one key. */
  readonly path: string;
  /** What was found, what was expected, and what to do. */
  readonly message: string;
}

/** The rig file that the session goes by. */
export interface RigFileInForce {
  readonly fileName: string;
  readonly text: string;
  /** What `postern check` says of it from its text alone. */
  readonly lines: readonly string[];
}

/** The rig file as it lies on disk now. */
export interface RigFileCheck {
  readonly fileName: string;
  /** Null where it cannot be read; `lines` says why. */
  readonly text: string | null;
  readonly isInForce: boolean;
  /** None where it would be taken. */
  readonly findings: readonly RigFinding[];
  /** What `postern check` says of it, the computer's ports among it. */
  readonly lines: readonly string[];
}

/** One page that is connected. */
export interface PageClient {
  /** Behind a proxy, the proxy's. */
  readonly address: string;
  readonly connectedForS: number;
  /** It opened its line with the crew's token. */
  readonly mayAct: boolean;
  /** It does not keep up, and is spared the traces. */
  readonly isThinned: boolean;
}

export interface PageClients {
  /** Longest connected first. */
  readonly clients: readonly PageClient[];
  /** Those that are not listed among them. */
  readonly inAll: number;
}

/** How the host's doors stand; no token is in it. */
export interface DoorsState {
  readonly lookNeedsToken: boolean;
  /** Where whoever runs the host finds the tokens. */
  readonly tokensIn: 'terminal' | 'own-file' | 'host-file';
}

import { closeSync } from 'node:fs';
import { warn } from './output.ts';

const ASKING = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/**
 * Ctrl-C, SIGTERM, or the terminal that goes away: the first asks for the end, a second Ctrl-C or SIGTERM gives up
 * waiting for it. A second SIGHUP does not: a shell and the system may each send one for the same closed terminal.
 */
export class StopSignal {
  /** Resolves with the first, which it names. */
  readonly asked: Promise<NodeJS.Signals>;
  /** What is true at the moment of the second: the process ends there and then. */
  lastWords: () => string = () => 'Stopped at once.';
  #isAsked = false;
  #ask: (signal: NodeJS.Signals) => void = () => undefined;
  readonly #onSignal = (signal: NodeJS.Signals): void => {
    if (signal === 'SIGHUP') process.off('exit', letGoOfTerminal).once('exit', letGoOfTerminal);
    if (this.#isAsked) {
      if (signal === 'SIGHUP') return;
      warn(this.lastWords());
      process.exit(130);
    }
    this.#isAsked = true;
    this.#ask(signal);
  };

  constructor() {
    this.asked = new Promise((resolve) => {
      this.#ask = resolve;
    });
    for (const signal of ASKING) process.on(signal, this.#onSignal);
  }

  /** Signals do again what the system does with them. */
  close(): void {
    for (const signal of ASKING) process.off(signal, this.#onSignal);
  }
}

/** At its end Node sets the terminal back as it found it, and aborts where there is none any more. */
function letGoOfTerminal(): void {
  for (const fd of [0, 1, 2]) {
    try {
      closeSync(fd);
    } catch {
      // Closed already.
    }
  }
}

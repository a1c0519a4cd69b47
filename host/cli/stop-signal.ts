import { warn } from './output.ts';

/** Ctrl-C (or SIGTERM): the first asks for the end, a second one gives up waiting for it. */
export class StopSignal {
  /** Resolves with the first. */
  readonly asked: Promise<void>;
  /** What is true at the moment of the second: the process ends there and then. */
  lastWords: () => string = () => 'Stopped at once.';
  #isAsked = false;
  #ask: () => void = () => undefined;
  readonly #onSignal = (): void => {
    if (this.#isAsked) {
      warn(this.lastWords());
      process.exit(130);
    }
    this.#isAsked = true;
    this.#ask();
  };

  constructor() {
    this.asked = new Promise((resolve) => {
      this.#ask = resolve;
    });
    process.on('SIGINT', this.#onSignal);
    process.on('SIGTERM', this.#onSignal);
  }

  /** Signals do again what the system does with them. */
  close(): void {
    process.off('SIGINT', this.#onSignal);
    process.off('SIGTERM', this.#onSignal);
  }
}

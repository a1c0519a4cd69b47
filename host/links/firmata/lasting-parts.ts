/**
 * What outlives a link's openings: the one client, because the libraries keep what was ever made, the checks on values,
 * and the count of what the line has spoilt.
 */
import { AnalogPins } from './analog-pins.ts';
import type { WeatherReading } from './bme280-watch.ts';
import type { FirmataClient } from './firmata-client.ts';
import type { FirmataSetup, FirmataTiming } from './firmata-setup.ts';
import type { StepGuard } from './step-guard.ts';
import { createWeatherGuard } from './weather-guard.ts';

export interface LineFaults {
  /** Messages. */
  readonly unreadable: number;
  /** Values out of range, or that stood alone. */
  readonly untrue: number;
}

let libraries: Promise<typeof import('./firmata-client.ts')> | undefined;

/** Loaded once a process, where the first rig needs them. */
export function firmataLibraries(): Promise<typeof import('./firmata-client.ts')> {
  libraries ??= import('./firmata-client.ts');
  return libraries;
}

export class LastingParts {
  readonly pins: AnalogPins;
  readonly weather: StepGuard<WeatherReading> = createWeatherGuard();
  readonly #timing: FirmataTiming;
  #client: FirmataClient | undefined;
  #unreadable = 0;
  #outOfRange = 0;

  constructor({ analogPins }: FirmataSetup, timing: FirmataTiming) {
    this.#timing = timing;
    this.pins = new AnalogPins(analogPins);
  }

  get client(): FirmataClient | undefined {
    return this.#client;
  }

  get faults(): LineFaults {
    return { unreadable: this.#unreadable, untrue: this.#outOfRange + this.pins.dropped + this.weather.dropped };
  }

  countOutOfRange(): void {
    this.#outOfRange += 1;
  }

  /**
   * The libraries cost a fifth of a second to load: only where a rig has such a board.
   * @returns undefined upon the signal
   */
  async load(signal: AbortSignal): Promise<FirmataClient | undefined> {
    const { FirmataClient } = await firmataLibraries();
    if (signal.aborted) return undefined;
    this.#client ??= new FirmataClient(this.#timing, {
      onFault: () => {
        this.#unreadable += 1;
      },
    });
    return this.#client;
  }
}

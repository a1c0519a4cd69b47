/** The analog pins of one link: what they said is checked, and for each it is watched whether it still says anything. */
import type { AnalogCounts } from './firmata-client.ts';
import { createStepGuard, type GuardedValue, type StepGuard } from './step-guard.ts';

/** Counts by pin name, and when they arrived. */
export interface AnalogReading {
  readonly atNs: number;
  readonly value: Readonly<Record<string, number>>;
}

export interface PinSilence {
  /** Pins that are silent. */
  readonly names: readonly string[];
  /** One of them has just become so, or has been for as long again: time to ask for reports anew. */
  readonly isDue: boolean;
  /** A pin that did report and that asking anew has not brought back. */
  readonly fallen: string | undefined;
}

interface Pin {
  readonly name: string;
  readonly guard: StepGuard<number>;
  /** Looks in a row since its last report. */
  silentLooks: number;
  hasReported: boolean;
}

/** A step beyond this share of full scale is believed when the next report does not take it back. */
const STEP_OF_SCALE_MAX = 1 / 8;

export class AnalogPins {
  readonly #pins: ReadonlyMap<number, Pin>;
  #fullScale = 0;
  #outOfRange = 0;

  /** @param channels  0 to 15 */
  constructor(channels: readonly number[]) {
    const guard = (): StepGuard<number> =>
      createStepGuard((a: number, b: number) => Math.abs(a - b) <= this.#fullScale * STEP_OF_SCALE_MAX, 'no-return');
    this.#pins = new Map(channels.map((channel) => [channel, { name: `A${channel}`, guard: guard(), silentLooks: 0, hasReported: false }]));
  }

  /** Counts beyond the converter's scale, and counts that stood alone. */
  get dropped(): number {
    return [...this.#pins.values()].reduce((sum, { guard }) => sum + guard.dropped, this.#outOfRange);
  }

  /** At each opening: what was before says nothing any more. @param fullScale  largest count */
  begin(fullScale: number): void {
    this.#fullScale = fullScale;
    for (const pin of this.#pins.values()) {
      pin.guard.reset();
      pin.silentLooks = 0;
      pin.hasReported = false;
    }
  }

  /** @returns what is believed by now; a value that had to be confirmed keeps its own time of arrival */
  take(counts: AnalogCounts, atNs: number): readonly AnalogReading[] {
    const readings: { readonly atNs: number; readonly value: Record<string, number> }[] = [];
    for (const [channel, value] of counts) {
      const pin = this.#pins.get(channel);
      if (pin === undefined) continue;
      for (const believed of this.#judge(pin, value, atNs)) {
        // A value and the one that confirms it may have arrived together, and are two readings all the same.
        const together = readings.find((reading) => reading.atNs === believed.atNs && !(pin.name in reading.value));
        if (together) together.value[pin.name] = believed.value;
        else readings.push({ atNs: believed.atNs, value: { [pin.name]: believed.value } });
      }
    }
    return readings.sort((a, b) => a.atNs - b.atNs);
  }

  /**
   * One look at all pins.
   * @param looks  in a row without a report that make a pin silent
   */
  look(looks: number): PinSilence {
    const pins = [...this.#pins.values()];
    for (const pin of pins) pin.silentLooks += 1;
    return {
      names: pins.filter(({ silentLooks }) => silentLooks >= looks).map(({ name }) => name),
      isDue: pins.some(({ silentLooks }) => silentLooks > 0 && silentLooks % looks === 0),
      fallen: pins.find(({ hasReported, silentLooks }) => hasReported && silentLooks >= 2 * looks)?.name,
    };
  }

  #judge(pin: Pin, value: number, atNs: number): readonly GuardedValue<number>[] {
    if (value < 0 || value > this.#fullScale) {
      this.#outOfRange += 1;
      return [];
    }
    pin.silentLooks = 0;
    pin.hasReported = true;
    return pin.guard.take(value, atNs);
  }
}

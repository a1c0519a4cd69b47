import type { ClockEvent } from '../../../protocol/index.ts';

/** The board's clock against the host's. */
export function ClockFacts({ clock }: { readonly clock: ClockEvent }) {
  const { rateErrorPpm, rateStandardUncertaintyPpm, roundTripS, offsetStandardUncertaintyS, exchanges } = clock;
  return (
    <>
      <div>
        <dt>Clock rate error</dt>
        <dd>
          {signed(rateErrorPpm)} ± {(2 * rateStandardUncertaintyPpm).toFixed(2)} ppm <small>(95 %)</small>
        </dd>
      </div>
      <div>
        <dt>Clock offset</dt>
        <dd>known to ± {(2 * offsetStandardUncertaintyS * 1e6).toFixed(0)} µs</dd>
      </div>
      <div>
        <dt>Round trip</dt>
        <dd>
          {(roundTripS * 1e3).toFixed(2)} ms <small>({exchanges} exchanges)</small>
        </dd>
      </div>
    </>
  );
}

const signed = (ppm: number): string => `${ppm < 0 ? '−' : '+'}${Math.abs(ppm).toFixed(2)}`;

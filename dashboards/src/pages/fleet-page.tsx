import { useEffect } from 'preact/hooks';
import { FleetRigs } from '../components/fleet-rigs.tsx';
import { FleetShots } from '../components/fleet-shots.tsx';
import { SeriesLine } from '../components/series-line.tsx';
import { fleet, fleetProblem, series, watchFleet } from '../state/series.ts';

/** All rigs that write to one server of time series, as that server has them. */
export function FleetPage() {
  const hasServer = Boolean(series.value);
  // Again, and so at once, when it is known that there is one.
  useEffect(watchFleet, [hasServer]);
  const known = fleet.value;
  return (
    <>
      <section class="panel fleet" aria-labelledby="fleet-title">
        <h2 id="fleet-title">Rigs</h2>
        {series.value === null && (
          <p>
            This host sends to no server of time series, so it knows of no other rig. Name one in the rig file, under{' '}
            <code>timeSeries</code>: docs/time-series.md says how.
          </p>
        )}
        {fleetProblem.value !== '' && <p class="notice">The rigs could not be asked for: {fleetProblem.value}.</p>}
        {hasServer && !known && fleetProblem.value === '' && <p class="empty">Asking the server…</p>}
        {known && known.rigs.length === 0 && <p class="empty">No rig has written to it in the last {known.days} days.</p>}
        {known && <FleetRigs rigs={known.rigs} askedAtUtcMs={known.askedAtUtcMs} />}
        <SeriesLine />
      </section>
      {known && <FleetShots fleet={known} />}
    </>
  );
}

/** The session's numbers, by link, channel and limit: as many as the rig file names. */
import { LINK_CHANGES } from '../../../protocol/index.ts';
import type { MetricFamily, MetricSample } from '../../serve/index.ts';
import type { SessionTally } from './session-tally.ts';

export function sessionMetrics(tally: SessionTally): readonly MetricFamily[] {
  const { records, samples, links, wires, texts, clocks } = tally;
  const ofWires = (value: (counters: NonNullable<ReturnType<typeof wires.get>>['counters']) => number): readonly MetricSample[] =>
    [...wires].map(([link, { counters }]) => ({ labels: { link }, value: value(counters) }));
  const unread = [...texts].map(([link, event]) => [link, event.unread] as const);
  const faults = [...wires].map(([link, { counters }]) => [link, counters.faults] as const);
  return [
    {
      ...counter('postern_records', 'Records taken into the journal.'),
      samples: [...records.values()].map(({ source, kind, count }) => ({ labels: { source, kind }, value: count })),
    },
    {
      ...counter('postern_samples', 'Samples of a channel, with their time and quantity.'),
      samples: [...samples].map(([channel, value]) => ({ labels: { channel }, value })),
    },
    {
      ...gauge('postern_link_up', '1 while the link runs, 0 while it does not.'),
      samples: [...links].map(([link, { state }]) => ({ labels: { link }, value: state === 'running' ? 1 : 0 })),
    },
    {
      ...counter('postern_link_changes', 'How often the link came into this state.'),
      samples: [...links].flatMap(([link, { changes }]) =>
        LINK_CHANGES.map((state) => ({ labels: { link, state }, value: changes.get(state) ?? 0 })),
      ),
    },
    { ...counter('postern_frames_bad', 'Lines that could not be read, by reason.'), samples: byReason([...faults, ...unread]) },
    {
      ...counter('postern_frames_missed', 'Frames of a gate board that did not arrive when they should.'),
      samples: ofWires((c) => c.framesMissed),
    },
    { ...counter('postern_frames_resent', 'Of those, fetched by asking again.'), samples: ofWires((c) => c.framesRecovered) },
    { ...counter('postern_frames_gone', 'Of those, no longer held by the board.'), samples: ofWires((c) => c.framesGone) },
    { ...gauge('postern_frames_awaited', 'Of those, still asked for.'), samples: ofWires((c) => c.framesAwaited) },
    {
      ...gauge('postern_board_edges_lost', 'Edges that the board itself could not keep, since it was started.'),
      samples: ofWires((c) => c.edgesLost),
    },
    {
      ...gauge('postern_clock_uncertainty_seconds', 'Standard uncertainty of the board clock against the time of the host.', 'seconds'),
      samples: [...clocks].map(([link, event]) => ({ labels: { link }, value: event.offsetStandardUncertaintyS })),
    },
    {
      ...gauge('postern_clock_rate_error_ratio', 'How much the board clock runs fast against the host clock.', 'ratio'),
      samples: [...clocks].map(([link, event]) => ({ labels: { link }, value: event.rateErrorPpm / 1e6 })),
    },
    {
      ...gauge('postern_shots', 'Closed shots of this session, with a flag and without.'),
      samples: [true, false].map((flagged) => ({ labels: { flagged: String(flagged) }, value: tally.shots(flagged) })),
    },
    { ...gauge('postern_limits_active', 'Limits that are passed now.'), samples: activeLimits(tally) },
  ];
}

function byReason(links: readonly (readonly [string, Readonly<Partial<Record<string, number>>>])[]): readonly MetricSample[] {
  return links.flatMap(([link, reasons]) =>
    Object.entries(reasons).map(([reason, value]) => ({ labels: { link, reason }, value: value ?? 0 })),
  );
}

function activeLimits({ limits }: SessionTally): readonly MetricSample[] {
  const all = [...limits.values()];
  return (['alarm', 'warning'] as const).map((severity) => ({
    labels: { severity },
    value: all.filter((limit) => limit.severity === severity && limit.state.startsWith('active')).length,
  }));
}

const gauge = (name: string, help: string, unit = ''): MetricFamily => ({ name, type: 'gauge', unit, help, samples: [] });
const counter = (name: string, help: string): MetricFamily => ({ name, type: 'counter', unit: '', help, samples: [] });

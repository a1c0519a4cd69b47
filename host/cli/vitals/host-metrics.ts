/** The host's own numbers: journal, store, process. */
import type { MetricFamily } from '../../serve/index.ts';
import { SOFTWARE_VERSION } from '../version.ts';
import type { VitalParts } from './vital-parts.ts';

type Facts = Pick<VitalParts, 'journal' | 'store' | 'loop' | 'log'> & { readonly rowsDropped: number };

export function hostMetrics({ journal, store, loop, log, rowsDropped }: Facts): readonly MetricFamily[] {
  const { user, system } = process.cpuUsage();
  const { mean, p99, max } = loop.delayS;
  const delays = Object.entries({ mean, p99, max });
  return [
    { ...gauge('postern_host', 1, '', 'Versions, as labels; always 1.'), samples: [{ labels: VERSIONS, value: 1 }] },
    gauge('postern_uptime_seconds', process.uptime(), 'seconds', 'Since the host was started.'),
    counter('postern_journal_bytes', journal.bytesWritten, 'bytes', 'Journalled, with what a failing disk has not taken yet.'),
    gauge('postern_journal_unsynced_bytes', journal.unsyncedBytes, 'bytes', 'Journalled and not known to be on the disk.'),
    gauge('postern_journal_unwritten_bytes', journal.problem.unwrittenBytes, 'bytes', 'Journalled and taken by no file.'),
    gauge('postern_journal_sync_age_seconds', journal.sinceSyncS, 'seconds', 'Since the journal was last put on the disk.'),
    counter('postern_journal_records_lost', journal.problem.recordsLost, '', 'Records that the journal could not keep.'),
    gauge(
      'postern_journal_writing',
      journal.problem.message === '' ? 1 : 0,
      '',
      '1 while the disk takes the journal, 0 while it does not.',
    ),
    gauge('postern_store_rows_waiting', store.rowsWaiting, '', 'Rows that wait to be written to the store.'),
    counter('postern_store_rows_dropped', rowsDropped, '', 'Rows that the store could not take; a rebuild brings them back.'),
    counter('postern_log_lines_dropped', log?.linesDropped ?? 0, '', 'Lines that the log could not take.'),
    {
      ...gauge('postern_event_loop_delay_seconds', 0, 'seconds', 'How late the timers of the host are, over the last ten seconds.'),
      samples: delays.map(([statistic, value]) => ({ labels: { statistic }, value })),
    },
    gauge('postern_resident_memory_bytes', process.memoryUsage.rss(), 'bytes', 'Memory of the process in use.'),
    counter('postern_cpu_seconds', (user + system) / 1e6, 'seconds', 'Processor time used by the process.'),
  ];
}

const VERSIONS = { version: SOFTWARE_VERSION, node: process.version };

const gauge = (name: string, value: number, unit: string, help: string): MetricFamily => ({
  name,
  type: 'gauge',
  unit,
  help,
  samples: [{ value }],
});

const counter = (name: string, value: number, unit: string, help: string): MetricFamily => ({
  ...gauge(name, value, unit, help),
  type: 'counter',
});

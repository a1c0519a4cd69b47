#!/usr/bin/env node
/** The commands. Each is fetched when it is asked for: all of them together take a second to load. */
import { Argument, Command, InvalidArgumentError, Option } from 'commander';
import { REPLAY_SPEED } from '../../protocol/index.ts';
// Not through the store's face: whoever only asks what there is does not wait for a database.
import { KEEPS } from '../store/keeps.ts';
import type { CrosscheckOptions } from './camera/crosscheck.ts';
import type { CheckOptions } from './check/check-command.ts';
import { completionFor, SHELL_NAMES } from './completion/index.ts';
import { DEFAULT_DATA_DIR } from './data/data-folder.ts';
import type { RebuildOptions } from './data/rebuild.ts';
import type { ThinOptions } from './data/thin.ts';
import type { DemoOptions } from './demo/demo.ts';
import { SimulatedRange } from './demo/simulated-range.ts';
import type { DragOptions } from './drag/drag.ts';
import type { DropcheckOptions } from './drop/dropcheck.ts';
import type { ExportOptions } from './export/export.ts';
import type { RunOptions } from './live/run.ts';
import type { MapOptions } from './map/map.ts';
import type { NextOptions } from './map/next.ts';
import { addOperatorCommands } from './operator/commands.ts';
import { CommandError, messageOf, outliveOutput, warn } from './output.ts';
import type { ReplayOptions } from './replay/replay.ts';
import { sessionTimeOf } from './replay/session-time.ts';
import type { ReportCommandOptions } from './report/report.ts';
import { DEFAULT_RIG_FILE } from './rig/default-rig-file.ts';
import { addSeriesCommands } from './series/commands.ts';
import { endpointOf, hostNameArgument } from './serving/endpoint.ts';
import { RENEWABLE } from './serving/renewable-tokens.ts';
import type { TokensOptions } from './serving/tokens.ts';
import { RESULT_NAMES } from './shots/shot-results.ts';
import type { ShotsOptions } from './shots/shots.ts';
import { SOFTWARE_VERSION } from './version.ts';

const DEFAULT_PORT = 4780;
/** The demo's shots never mix with a real rig's. */
const DEMO_DATA_DIR = `${DEFAULT_DATA_DIR}/demo`;

const whole =
  (min: number, max: number) =>
  (text: string): number => {
    const value = Number(text);
    if (!/^\d+$/.test(text) || value < min || value > max) throw new InvalidArgumentError(`Give a whole number from ${min} to ${max}.`);
    return value;
  };

function rateOf(text: string): number {
  const value = Number(text);
  if (!(value >= 0.05 && value <= 1)) throw new InvalidArgumentError('Give a number from 0.05 to 1.');
  return value;
}

function latitudeOf(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !(value >= -90 && value <= 90)) throw new InvalidArgumentError('Give degrees from -90 to 90, south below 0.');
  return value;
}

function paceOf(text: string): number | 'max' {
  if (text === 'max') return 'max';
  const value = Number(text);
  const { min, max } = REPLAY_SPEED;
  if (!(value >= min && value <= max)) throw new InvalidArgumentError(`Give a number of times real time, ${min} to ${max}, or max.`);
  return value;
}

function timeOf(text: string): number {
  const atNs = sessionTimeOf(text);
  if (atNs === undefined) throw new InvalidArgumentError('Give a time of the session as hours:minutes:seconds, such as 00:12:30.');
  return atNs;
}

function daysOf(text: string): number {
  const [, days] = /^(\d{1,5})d?$/.exec(text) ?? [];
  if (days === undefined) throw new InvalidArgumentError('Give a number of days, such as 90d.');
  return Number(days);
}

const dataOption = (dir = DEFAULT_DATA_DIR): Option => new Option('--data <dir>', 'folder for journals and store').default(dir);
/** Where the page is served, and to whom. */
function withListening(command: Command): Command {
  return command
    .addOption(
      new Option('--port <port>', 'for the page; the next free one where it is taken').default(DEFAULT_PORT).argParser(whole(0, 65_535)),
    )
    .addOption(
      new Option(
        '--listen <address[:port]>',
        'for the page, instead of 127.0.0.1; beyond this computer a token is needed to look, and another to write',
      ).argParser(endpointOf),
    )
    .addOption(
      new Option('--name <host>', 'a name by which this host is asked too, in its network or through a TLS proxy').argParser(
        hostNameArgument,
      ),
    )
    .option('--tokens <file>', 'tokens of your own, {"look": "…", "crew": "…"}, in a file that only you may read');
}
const acceptOption = (): Option =>
  new Option('--accept <file>', 'what this session asks of its shots, in place of what the rig file says of it (docs/rig-file.md)');
const jsonOption = (): Option => new Option('--json [file]', 'machine-readable, to standard output or to a file');

const program = new Command('postern')
  .description(
    'The instrument side of a compressed-gas launcher range. It measures; it never fires, opens a valve or acts as an interlock.',
  )
  .version(SOFTWARE_VERSION)
  .showHelpAfterError('(add --help for the options)');

withListening(program.command('demo'))
  .description('a simulated range on real pseudo-terminals, the host reading it, the page served')
  .addOption(new Option('--shots <n>', 'shots to fire; without it, until Ctrl-C').argParser(whole(1, 100_000)))
  .option('--exit', 'end by itself after the shots', false)
  .addOption(new Option('--pace <pace>', 'fast shortens the waiting, not the physics').choices(['real', 'fast']).default('real'))
  .addOption(
    new Option('--fills <fills>', 'target: every shot at the rig file’s; spread: from gentle to hard, as a map or a drag curve needs them')
      .choices(['target', 'spread'])
      .default('target'),
  )
  .option('--drop', 'nothing is fired: a ball is dropped through pair A, for dropcheck; --shots then counts drops', false)
  .addOption(new Option('--seed <n>', 'everything that is random follows from it').default(1).argParser(whole(0, 2 ** 32 - 1)))
  .option('--faults <names...>', 'faults of wire, range and instruments, by the names below', [])
  .addOption(
    new Option('--board <board>', 'the gate board: simulated, or avr, the program of the board to flash')
      .choices(['simulated', 'avr'])
      .default('simulated'),
  )
  .addOption(new Option('--rate <r>', 'slower than real time: range seconds a second, 0.05 to 1').argParser(rateOf))
  .addOption(jsonOption())
  .addOption(dataOption(DEMO_DATA_DIR))
  .addHelpText('after', () => `\nFaults:\n${SimulatedRange.faultLines()}`)
  .action(async (options: DemoOptions) => (await import('./demo/demo.ts')).demo(options));

withListening(program.command('run'))
  .description('live with the boards named in the rig file')
  .argument('<rig>', 'rig file (YAML)')
  .addOption(dataOption())
  .addOption(new Option('--viewers <n>', 'pages at a time; further ones are turned away').default(256).argParser(whole(1, 10_000)))
  .option('--log <file>', 'JSON lines of links, shots, alarms and troubles; SIGUSR2 opens it anew (docs/unattended.md)')
  .addOption(acceptOption())
  .action(async (rig: string, options: RunOptions) => (await import('./live/run.ts')).run(rig, options));

withListening(program.command('replay'))
  .description('the same pipeline over a journal: with the live page, to be paused and moved about in, or as fast as it goes')
  .argument('<journal>', 'journal (.mcap)')
  .addOption(new Option('--pace <n>', 'times real time, with the page; max: as fast as it goes, without').default('max').argParser(paceOf))
  .option('--page', 'serve the page at max too')
  .addOption(new Option('--from <time>', 'begin there, hours:minutes:seconds of the session, as 00:12:30').argParser(timeOf))
  .option('--shot <shot>', 'begin before that shot: its number, or its id')
  .option('--exit', 'with the page: end by itself where the journal ends', false)
  .option('--rig <file>', 'reduce again under a corrected rig file, and show both results of each shot side by side')
  .addOption(jsonOption())
  .action(async (journal: string, options: ReplayOptions) => (await import('./replay/replay.ts')).replay(journal, options));

program
  .command('rebuild')
  .description('the store, anew, from all journals in the data folder; the present one stays until the new one is whole')
  .option('--drop-missing', 'also where the store holds sessions whose journal is not there', false)
  .addOption(jsonOption())
  .addOption(dataOption())
  .action(async (options: RebuildOptions) => (await import('./data/rebuild.ts')).rebuild(options));

program
  .command('shots')
  .description(
    'the shot table, newest first; or all of one shot: results, what each gate said, with --budget where an uncertainty comes from',
  )
  .argument('[shot]', 'one shot, by the name that the table gives, or by its number in the running (else the newest) session')
  .option('--session <id>', 'of one session')
  .option('--rig <name>', 'of one rig')
  .option('--since <time>', 'fired at or after this time (ISO 8601; UTC where it names no zone)')
  .addOption(new Option('--flags <which>', 'with no flag, or with any').choices(['clean', 'flagged']))
  .addOption(new Option('--limit <n>', 'at most').default(200).argParser(whole(1, 10_000)))
  .addOption(jsonOption())
  .option('--csv', 'comma-separated, SI')
  .option('--budget', 'the uncertainty budget of one shot, largest term first')
  .option('--history', 'what was done to one shot, by whom and when, and which records of the journal its numbers come from')
  .option('--of <result>', `which budget: ${RESULT_NAMES.join(', ')} (default: muzzle)`)
  .addOption(dataOption())
  .action(async (shot: string | undefined, options: ShotsOptions) => (await import('./shots/shots.ts')).listShots(shot, options));

program
  .command('crosscheck')
  .description('a camera’s speed against the gates’, from a track: frame,x,y a line, and mark,x,y a line; without one, what is kept')
  .argument('<shot>', 'by the name that the shot table gives, or by its number in the running (else the newest) session')
  .argument('[track]', 'CSV file (docs/camera.md)')
  .option('--camera <name>', 'of the rig file, where it has several')
  .option('--clip <name>', 'what the camera called its clip', '')
  .addOption(
    new Option('--mark <name=x,y>', 'where a mark is in the picture, px, where the file does not say; several times')
      .argParser((text: string, before: readonly string[]) => [...before, text])
      .default([]),
  )
  .option('--rig <file>', 'with the cameras of this rig file, instead of the one that the session had')
  .option('--keep', 'write the track into the running session, as part of the shot', false)
  .option('--by <name>', 'who does it')
  .addOption(jsonOption())
  .addOption(dataOption())
  .action(async (shot: string, track: string | undefined, options: CrosscheckOptions) =>
    (await import('./camera/crosscheck.ts')).crosscheck(shot, track, options),
  );

program
  .command('dropcheck')
  .description('the gates without gas: balls dropped through an upright pair, held against gravity (docs/first-hour.md)')
  .argument('[journal]', 'journal (.mcap) that the drops are in; left out, the newest of the data folder')
  .requiredOption('--height <length>', 'from the upper beam up to the underside of the ball at rest, as --height "400 mm ± 1 mm"')
  .option('--pair <name>', 'which pair it fell through (default: the first of the rig file)')
  .addOption(new Option('--latitude <degrees>', 'of the range: gravity is then known to 50 ppm, else to 0.2 %').argParser(latitudeOf))
  .option('--altitude <length>', 'of the range above the sea, with --latitude, as --altitude "250 m"')
  .option('--budget', 'the uncertainty budget, largest term first', false)
  .addOption(jsonOption())
  .addOption(dataOption())
  .action(async (journal: string | undefined, options: DropcheckOptions) =>
    (await import('./drop/dropcheck.ts')).dropcheck(journal, options),
  );

/** Which shots a curve or a map is made of: so many of the newest, unless others are asked for, at most `most`. */
const withShotFilters = (command: Command, { newest, most }: { readonly newest: number; readonly most: number }): Command =>
  command
    .option('--session <id>', 'of one session')
    .option('--rig <name>', 'of one rig')
    .option('--since <time>', 'fired at or after this time (ISO 8601; UTC where it names no zone)')
    .option('--projectile <name>', 'of one kind of projectile')
    .addOption(new Option('--limit <n>', 'the newest shots, at most').default(newest).argParser(whole(1, most)))
    .addOption(jsonOption())
    .addOption(dataOption());
const OF_MAP = { newest: 600, most: 600 };

withShotFilters(program.command('drag'), { newest: 1000, most: 10_000 })
  .description('the drag coefficient over Mach, from each shot and from all together, with its band; beside a published smooth sphere')
  .option('--svg <file>', 'a drawing, of one kind of projectile')
  .action(async (options: DragOptions) => (await import('./drag/drag.ts')).drag(options));

withShotFilters(program.command('map'), OF_MAP)
  .description(
    'muzzle velocity over fill and barrel pressure, with its bands, and each shot against the others; or the fill for a velocity',
  )
  .option('--for <velocity>', 'the fill that gives it, with its interval, as --for "350 m/s"')
  .option('--barrel <pressure>', 'with --for: the vacuum, as --barrel "5 kPa absolute" (default: that of the middle shot)')
  .option('--svg <file>', 'a drawing, of one launcher and one kind of projectile')
  .action(async (options: MapOptions) => (await import('./map/map.ts')).map(options));

withShotFilters(program.command('next'), OF_MAP)
  .description('which fill and vacuum would teach most about the map: a suggestion')
  .option('--fills <span>', 'the fills of interest, as "0.4 MPa gauge to 2 MPa gauge" (default: up to the maximum fill)')
  .option('--barrels <span>', 'the vacuums of interest, as "2 kPa absolute to 100 kPa absolute"')
  .action(async (options: NextOptions) => (await import('./map/next.ts')).next(options));

program
  .command('report')
  .description('one session as one HTML file that needs nothing else and prints well: rig, air, hold points, shots, map, drag')
  .argument('[session]', 'its id; left out, the newest')
  .option('--out <file>', 'where to; left out, report-SESSION.html in the present folder')
  .addOption(new Option('--units <system>', 'of the quantities').choices(['SI', 'US']).default('SI'))
  .addOption(dataOption())
  .action(async (session: string | undefined, options: ReportCommandOptions) =>
    (await import('./report/report.ts')).report(session, options),
  );

program
  .command('export')
  .description('samples, shots or events out of the store, for other programs')
  .addArgument(new Argument('<what>', 'what to take out').choices(['samples', 'shots', 'events']))
  .addOption(
    new Option('--as <form>', 'csv: RFC 4180, units in the header; lines: line protocol')
      .choices(['csv', 'parquet', 'lines'])
      .default('csv'),
  )
  .option('--session <id...>', 'of these sessions')
  .option('--channel <name...>', 'of these channels')
  .addOption(new Option('--from <time>', 'hours:minutes:seconds of the session, as 00:12:30').argParser(timeOf))
  .addOption(new Option('--to <time>', 'not in it any more').argParser(timeOf))
  .option('--out <file>', 'to a file, which is there only once it is whole; without it to standard output')
  .option('--overwrite', 'over what there is under that name', false)
  .addOption(dataOption())
  .action(async (what: 'samples' | 'shots' | 'events', options: ExportOptions) =>
    (await import('./export/export.ts')).exportData(what, options),
  );

program
  .command('thin')
  .description('takes samples of old sessions out of the store; says what it would do, and with --yes does it; journals stay')
  .addOption(new Option('--older-than <days>', 'of sessions opened so long ago, as 90d').argParser(daysOf).makeOptionMandatory())
  .addOption(
    new Option('--keep <what>', 'the finest that stays: summaries by the tenth of a second, the second, the minute; or shots only')
      .choices(KEEPS)
      .default('seconds'),
  )
  .option('--yes', 'do it', false)
  .addOption(dataOption())
  .action(async (options: ThinOptions) => (await import('./data/thin.ts')).thin(options));

program
  .command('check')
  .description('validates a rig file, lists ports, says what is missing; where there is none yet, begins one with what is plugged in')
  .argument('[rig]', `rig file (YAML); left out, ${DEFAULT_RIG_FILE}`)
  .option('--starter', 'begins a file of that name; never writes over one', false)
  .option('--no-listen', 'with --starter: lists the ports and opens none; opening a port starts some boards anew')
  .option('--schema', 'prints the JSON Schema of rig files, for editors', false)
  .addOption(acceptOption())
  .action(async (rig: string | undefined, options: CheckOptions) => (await import('./check/check-command.ts')).check(rig, options));

program
  .command('tokens')
  .description('makes a file of tokens for --tokens, that only you may read; never prints them')
  .argument('<file>', 'the file to make')
  .addOption(new Option('--renew <which>', 'puts new ones into a file that is there, which withdraws the old').choices(RENEWABLE))
  .action(async (file: string, options: TokensOptions) => (await import('./serving/tokens.ts')).tokens(file, options));

program
  .command('completion')
  .description('prints what lets a shell complete commands, options and files by the Tab key (docs/install.md)')
  .addArgument(new Argument('<shell>', 'which').choices(SHELL_NAMES))
  .action((shell: (typeof SHELL_NAMES)[number]) => {
    process.stdout.write(completionFor(shell, program));
  });

addSeriesCommands(program, { data: dataOption, json: jsonOption });
addOperatorCommands(program, dataOption);

outliveOutput();
program.parseAsync().catch((error: unknown) => {
  for (const line of messageOf(error).split('\n')) warn(line);
  process.exitCode = error instanceof CommandError ? error.exitCode : 1;
});

/** `postern zero` and `postern calibrate`: what the channel shows, what it would show, and only then the act. */
import type { AdjustmentProposal, ChannelShown, OperatorAct } from '../../../protocol/index.ts';
import { CommandError, say } from '../output.ts';
import { type Asker, confirm, nameOf, terminalAsker } from './ask.ts';
import { HostSession } from './host-session.ts';
import { channelValue, valueText } from './values.ts';

export interface AdjustOptions {
  readonly data: string;
  readonly by?: string;
  readonly yes: boolean;
}

export interface ZeroOptions extends AdjustOptions {
  readonly reads?: string;
}

export interface CalibrateOptions extends AdjustOptions {
  readonly point?: readonly string[];
}

const INSTEAD = 'give --by NAME and --yes, and for a calibration --point "SHOWS=SHOULD" twice';

export function zero(channel: string, options: ZeroOptions, asker = terminalAsker(INSTEAD)): Promise<void> {
  return closing(asker, async () => {
    const host = HostSession.find(options.data);
    const shown = await host.shown(channel);
    const shouldReadSi = options.reads === undefined ? restingSi(shown) : channelValue(options.reads, shown);
    const proposal = await host.zero(channel, shouldReadSi);
    say(`${channel} shows ${valueText(proposal.showsSi, shown)} and would show ${valueText(proposal.wouldShowSi, shown)}.`);
    await carryOut(host, asker, options, proposal, `Set ${channel} to that?`);
    say(`${channel} is set: it shows ${valueText(proposal.wouldShowSi, shown)} where it showed ${valueText(proposal.showsSi, shown)}.`);
  });
}

/** A pressure gauge open to the air; of any other channel nobody knows what it should show. */
function restingSi({ channel, measures, reference, ambient }: ChannelShown): number {
  const isPressure = measures === 'pressure' && channel !== 'airPressure';
  if (isPressure && reference === 'gauge') return 0;
  if (isPressure && ambient.origin === 'measured') return ambient.pressurePa;
  const why = isPressure ? 'no pressure of the air is measured now' : 'nobody but you knows it';
  throw new CommandError(`Say what ${channel} should read, with --reads VALUE: ${why}.`, 2);
}

export function calibrate(channel: string, options: CalibrateOptions, asker = terminalAsker(INSTEAD)): Promise<void> {
  return closing(asker, async () => {
    const host = HostSession.find(options.data);
    const points = await pointsOf(host, channel, options.point, asker);
    const shown = await host.shown(channel);
    const proposal = await host.calibration(channel, points);
    const { before, after } = proposal.act;
    say(`${channel}: gain ${before.gain.toPrecision(6)} becomes ${after.gain.toPrecision(6)}.`);
    say(`It shows ${valueText(proposal.showsSi, shown)} now and would show ${valueText(proposal.wouldShowSi, shown)}.`);
    await carryOut(host, asker, options, proposal, `Calibrate ${channel} so?`);
    say(`${channel} is calibrated for this session; write it into the rig file, with its date, to keep it.`);
  });
}

interface Point {
  readonly shownSi: number;
  readonly shouldReadSi: number;
}

async function pointsOf(
  host: HostSession,
  channel: string,
  given: readonly string[] | undefined,
  asker: Asker,
): Promise<readonly [Point, Point]> {
  if (given === undefined) return [await askPoint(host, channel, 'first', asker), await askPoint(host, channel, 'second', asker)];
  const shown = await host.shown(channel);
  const [first, second, ...more] = given.map((text) => pointIn(text, shown));
  if (!first || !second || more.length > 0) throw new CommandError('A calibration needs --point "SHOWS=SHOULD" exactly twice.', 2);
  return [first, second];
}

function pointIn(text: string, shown: ChannelShown): Point {
  const [shows, should, ...more] = text.split('=');
  if (shows === undefined || should === undefined || more.length > 0) {
    throw new CommandError(`--point ${text}: write what the channel shows, =, and what it should show, each with its unit.`, 2);
  }
  return { shownSi: channelValue(shows, shown), shouldReadSi: channelValue(should, shown) };
}

async function askPoint(host: HostSession, channel: string, which: string, asker: Asker): Promise<Point> {
  await asker.ask(`Bring ${channel} to the ${which} value and let it come to rest, then press Enter. `);
  const shown = await host.shown(channel);
  say(`${channel} shows ${valueText(shown.shownSi, shown)}.`);
  const should = await asker.ask('What does the reference show (with its unit)? ');
  return { shownSi: shown.shownSi, shouldReadSi: channelValue(should, shown) };
}

async function carryOut(
  host: HostSession,
  asker: Asker,
  options: AdjustOptions,
  { act }: AdjustmentProposal,
  question: string,
): Promise<void> {
  const who = await nameOf(asker, options.by);
  if (!options.yes) await confirm(asker, question);
  await host.do({ ...act, who } as OperatorAct);
}

async function closing(asker: Asker, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } finally {
    asker.close();
  }
}

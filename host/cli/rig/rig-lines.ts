/** A rig in a few lines of text, for `postern check`. */
import type { Measure } from '../../../protocol/index.ts';
import {
  type Channel,
  conversionRange,
  type Gate,
  limitsOf,
  type Rig,
  type RigProblem,
  sourceText,
  type UncertainSi,
} from '../../rig/index.ts';
import { formatParts, formatValue, formatWithUncertainty, type QuantityKind } from '../../units/index.ts';
import { terminalText } from '../text/terminal-text.ts';
import { limitCourse, limitText } from './limit-lines.ts';

/** Expanded uncertainties are shown, so they are twice the standard ones. */
const COVERAGE = 2;

/** `heron.yaml:12:9 projectile.mass: "126 mm": …`; a sentence on the whole file names the file itself. */
export function problemLine(fileName: string, { line, column, path, message }: RigProblem): string {
  // Several of them make one message, each on its own line.
  if (line === 0) return terminalText(message);
  const place = `${fileName}:${line}:${column}`;
  return terminalText(path === '' ? `${place}: ${message}` : `${place} ${path}: ${message}`);
}

export function rigLines(rig: Rig): readonly string[] {
  const { projectile, reservoir, barrel, targetPositionM, trigger } = rig;
  return [
    `${rig.name} at ${rig.site}: the rig file is in order. ± is expanded, k = 2.`,
    `projectile  ${projectile.name}: ${uncertain(projectile.diameterM, 'length')}, ${uncertain(projectile.massKg, 'mass')}`,
    `reservoir   ${reservoir.gas}, ${+(reservoir.volumeM3 * 1000).toPrecision(6)} L, rated ${formatValue(reservoir.ratedPressurePaGauge, 'pressure', 'SI')} gauge, filled to at most ${formatValue(reservoir.maximumFillPaGauge, 'pressure', 'SI')} gauge`,
    `barrel      bore ${formatValue(barrel.boreM, 'length', 'SI')}, length ${formatValue(barrel.lengthM, 'length', 'SI')}`,
    `target      ${uncertain(targetPositionM, 'length')}`,
    trigger === undefined
      ? 'trigger     none; a shot is opened by the first gate edge'
      : `trigger     ${trigger.board} input ${trigger.input}`,
    ...rig.gates.map(
      (gate) => `gate ${gate.name.padEnd(6)} pair ${gate.pair}, ${uncertain(gate.positionM, 'length')}, ${gate.board} input ${gate.input}`,
    ),
    ...pairs(rig.gates).map(baselineLine),
    ...channelLines(rig),
    ...limitLines(rig),
    ...rig.holdPoints.map(
      (point) =>
        `hold point  ${point.id}: ${point.name}, ${point.by === 'crew' ? 'ticked by the crew' : `seen by the program (${point.when})`}`,
    ),
  ];
}

function uncertain({ value, standardUncertainty }: UncertainSi, kind: QuantityKind): string {
  return formatWithUncertainty(value, COVERAGE * standardUncertainty, kind, 'SI');
}

function pairs(gates: readonly Gate[]): readonly (readonly [Gate, Gate])[] {
  return [...new Set(gates.map((gate) => gate.pair))].flatMap((pair) => {
    const [first, second] = gates.filter((gate) => gate.pair === pair);
    return first === undefined || second === undefined ? [] : [[first, second] as const];
  });
}

/** The two positions are taken as measured independently: u² = u₁² + u₂² (JCGM 100:2008, 5.1.2 eq. (10)). */
function baselineLine([first, second]: readonly [Gate, Gate]): string {
  const baseline = {
    value: second.positionM.value - first.positionM.value,
    standardUncertainty: Math.hypot(first.positionM.standardUncertainty, second.positionM.standardUncertainty),
  };
  const relative = (100 * COVERAGE * baseline.standardUncertainty) / baseline.value;
  return `baseline ${first.pair.padEnd(2)} ${first.name} to ${second.name} ${uncertain(baseline, 'length')} (${relative.toPrecision(2)} %)`;
}

/** A well-known channel is shown in the unit that the crew knows it in, any other by what it measures. */
const KINDS: Readonly<Record<string, QuantityKind>> = {
  barrelPressure: 'vacuum',
  barrelVacuum: 'vacuum',
  airPressure: 'airPressure',
};
const MEASURE_KINDS: Readonly<Record<Measure, QuantityKind>> = {
  pressure: 'pressure',
  temperature: 'temperature',
  ratio: 'humidity',
  speed: 'velocity',
  voltage: 'voltage',
};

function channelLines(rig: Rig): readonly string[] {
  if (rig.channels.length === 0) return ['channels    none; shots will have neither pressures nor measured air'];
  return rig.channels.map((channel) => {
    const { name, unit, reference, conversion, standardUncertaintySi, board, source } = channel;
    const kind = kindOf(channel);
    // As the instrument reads, and as the file has it.
    const rangeSi = conversionRange(conversion);
    const { uncertainty, symbol } = formatParts(rangeSi?.[1] ?? 0, COVERAGE * standardUncertaintySi, kind, 'SI');
    const spread = uncertainty === '' ? '' : ` ± ${uncertainty} ${symbol}`;
    const range = rangeSi?.map((si) => formatValue(si, kind, 'SI')).join(' to ') ?? 'no stated range';
    return `channel     ${name}: ${range}${unit === 'Pa' ? ` ${reference}` : ''}${spread}, ${board} ${sourceText(source)}`;
  });
}

const kindOf = ({ name, measures }: Channel): QuantityKind => KINDS[name] ?? MEASURE_KINDS[measures];

function limitLines(rig: Rig): readonly string[] {
  return limitsOf(rig).flatMap((limit) => {
    const channel = rig.channels.find(({ name }) => name === limit.channel);
    if (channel === undefined) return [];
    const { id, severity } = limit;
    return [
      `limit       ${id}: ${severity}, ${channel.name} ${limitText(limit, kindOf(channel), channel.unit)}, ${limitCourse(limit, channel.unit)}`,
    ];
  });
}

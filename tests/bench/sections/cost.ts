/** What the host costs by how many channels it has, how fast they come, how many watch and how many shots there were. */
import { join } from 'node:path';
import { secondCost } from '../../support/cost/block-host.ts';
import { shotCosts } from '../../support/cost/shot-costs.ts';
import { viewerCosts } from '../../support/cost/viewer-costs.ts';
import type { Found, Plot, Section, Size } from '../section.ts';

/** As many as a rig file may name. */
const CHANNELS = [1, 2, 4, 8, 16, 32, 64] as const;
const RATES_PER_S = [100, 200, 500, 1000, 2000, 5000, 10_000] as const;
const VIEWERS = [2, 5, 10, 20, 50, 100, 200] as const;
const SHOTS = [10, 20, 50, 100, 200, 500, 1000] as const;
/** Of what a host needs, this much may grow faster than what there is of it. */
const EXPONENT_MAX = 1.15;

type Point = readonly [x: number, y: number];

export const cost: Section = async function* (size) {
  yield* overChannels(size);
  yield* overRate(size);
  yield* overViewers(size);
  yield* overShots(size);
};

const ends = <T>(all: readonly T[], { isSmall }: Size): readonly T[] => (isSmall ? [all[0] as T, all[3] as T] : all);

async function* overChannels(size: Size): AsyncGenerator<Found> {
  const points: Point[] = [];
  for (const channels of ends(CHANNELS, size)) {
    const seconds = size.isSmall ? 2 : Math.max(5, 120 / channels);
    const { coreMs } = await secondCost({ channels, samplesPerS: 1000, seconds }, join(size.folder, `channels${channels}`));
    points.push([channels, coreMs / 10]);
  }
  yield found('channels', points, size, {
    title: 'Channels at 1 kHz',
    x: { label: 'Channels', unit: '' },
    y: { label: 'Share of one core', unit: '%' },
    line: 'journal, pipeline, store and one page’s feed',
  });
}

async function* overRate(size: Size): AsyncGenerator<Found> {
  const points: Point[] = [];
  for (const samplesPerS of ends(RATES_PER_S, size)) {
    const seconds = size.isSmall ? 2 : Math.max(5, Math.min(60, 20_000 / samplesPerS));
    const { coreMs } = await secondCost({ channels: 8, samplesPerS, seconds }, join(size.folder, `rate${samplesPerS}`));
    points.push([samplesPerS, coreMs / 10]);
  }
  yield found('rate', points, size, {
    title: 'Eight channels by their rate',
    x: { label: 'Samples a second, of each channel', unit: '1/s' },
    y: { label: 'Share of one core', unit: '%' },
    line: 'journal, pipeline, store and one page’s feed',
  });
}

async function* overViewers(size: Size): AsyncGenerator<Found> {
  const counts = ends(VIEWERS, size);
  const points = await viewerCosts({ counts, secondsEach: size.isSmall ? 2 : 20, folder: size.folder });
  yield found(
    'viewers',
    points.map(({ viewers, coreShare }) => [viewers, 100 * coreShare]),
    size,
    {
      title: 'Pages beside 32 channels at 1 kHz',
      x: { label: 'Pages that watch', unit: '' },
      y: { label: 'Share of one core, of the whole process', unit: '%' },
      line: 'the whole host, on pseudo-terminals',
    },
  );
}

async function* overShots(size: Size): AsyncGenerator<Found> {
  const counts = ends(SHOTS, size);
  const costs = await shotCosts({ counts, folder: size.folder, reads: size.isSmall ? 2 : 9 });
  const line = (name: string, of: (cost: (typeof costs)[number]) => number) => ({
    name,
    points: costs.map((one): Point => [one.shots, of(one)]),
  });
  const plot: Plot = {
    name: 'cost-shots',
    title: 'Shots that the store holds',
    x: { label: 'Shots', unit: '' },
    y: { label: 'Of a core', unit: 'ms' },
    lines: [
      line('their table', ({ tableMs }) => tableMs),
      line('one of them', ({ oneMs }) => oneMs),
      line('writing the next', ({ nextMs }) => nextMs),
    ],
  };
  const [first, last] = [costs[0], costs.at(-1)];
  const grown = last && first ? last.nextMs / first.nextMs : Number.NaN;
  yield {
    row: {
      what: `a shot into a store that holds ${last?.shots} shots, against one that holds ${first?.shots}`,
      wanted: 'at most twice the cost',
      found: `${grown.toFixed(2)} (${first?.nextMs.toFixed(1)} ms, ${last?.nextMs.toFixed(1)} ms; their table ${first?.tableMs.toFixed(1)} ms, ${last?.tableMs.toFixed(1)} ms)`,
      reached: size.isSmall || grown <= 2,
    },
    ratios: { costOverShots: grown },
    values: costs,
    plot,
  };
}

interface Words extends Pick<Plot, 'title' | 'x' | 'y'> {
  readonly line: string;
}

/** What is told of each: the exponent of its growth from the middle on, where what there is always no longer counts. */
function found(name: string, points: readonly Point[], { isSmall }: Size, { line, ...words }: Words): Found {
  const from = points[Math.floor(points.length / 2) - (points.length < 3 ? 1 : 0)] as Point;
  const to = points.at(-1) as Point;
  const exponent = Math.log(to[1] / from[1]) / Math.log(to[0] / from[0]);
  const each = points.map(([x, y]) => `${y < 10 ? y.toFixed(1) : y.toFixed(0)} % at ${x}`).join(', ');
  return {
    row: {
      what: `${words.title}: ${words.y.label.toLowerCase()}, and the power of its growth from ${from[0]} to ${to[0]}`,
      wanted: `at most ${EXPONENT_MAX}`,
      found: `${exponent.toFixed(2)} (${each})`,
      reached: isSmall || exponent <= EXPONENT_MAX,
    },
    ratios: { [`growthOver${name[0]?.toUpperCase()}${name.slice(1)}`]: exponent },
    values: points,
    plot: { name: `cost-${name}`, ...words, lines: [{ name: line, points }] },
  };
}

/** Against the time since the firing: when each beam was blocked, and which edges were left out. */
import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { blockedIntervals, stripRangeS } from '../text/edge-intervals.ts';

const ROW = 26;
const LEFT = 34;
const RIGHT = 14;
const AXIS = 38;
const TICK_STEPS_MS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const LEAST_BAR_PX = 3;

export interface EdgeStripProps {
  readonly shot: Shot;
  readonly gates: RigSummary['gates'];
  readonly widthPx: number;
}

export function EdgeStrip({ shot, gates, widthPx }: EdgeStripProps) {
  const range = stripRangeS(
    shot,
    gates.map((gate) => gate.name),
  );
  if (!range) return <p class="empty">No gate edges came with this shot.</p>;
  const [fromS, toS] = range;
  const x = (timeS: number) => LEFT + ((timeS - fromS) / (toS - fromS)) * (widthPx - LEFT - RIGHT);
  const height = gates.length * ROW + AXIS;
  const rejected = shot.edges.filter((edge) => edge.verdict === 'rejected');
  return (
    <>
      <svg
        width={widthPx}
        height={height}
        viewBox={`0 0 ${widthPx} ${height}`}
        role="img"
        aria-label="When each beam was blocked; the same in words below"
      >
        {ticksMs(fromS, toS, widthPx).map((ms) => (
          <g key={ms} class="tick">
            <line x1={x(ms / 1000)} x2={x(ms / 1000)} y1={0} y2={gates.length * ROW + 4} />
            <text x={x(ms / 1000)} y={gates.length * ROW + 18} text-anchor="middle">
              {ms}
            </text>
          </g>
        ))}
        {gates.map((gate, row) => (
          <g key={gate.name} transform={`translate(0 ${row * ROW})`}>
            <text class="row-name" x={2} y={ROW / 2 + 5}>
              {gate.name}
            </text>
            <line class="row-line" x1={LEFT} x2={widthPx - RIGHT} y1={ROW / 2} y2={ROW / 2} />
            {blockedIntervals(shot, gate.name).map(({ startS, endS }) => (
              <rect key={startS} class="blocked" x={x(startS)} width={Math.max(LEAST_BAR_PX, x(endS) - x(startS))} y={4} height={ROW - 8}>
                <title>{`${gate.name} blocked for ${((endS - startS) * 1e3).toFixed(4)} ms`}</title>
              </rect>
            ))}
            {rejected
              .filter((edge) => edge.gate === gate.name)
              .map((edge) => (
                <path key={`${edge.ticks} ${edge.active}`} class="rejected" d={`M${x(edge.timeS) - 4} ${ROW / 2 - 5}l8 10m0 -10l-8 10`}>
                  <title>{`${gate.name}: rejected, ${edge.reason}`}</title>
                </path>
              ))}
          </g>
        ))}
        <text class="axis-name" x={(LEFT + widthPx - RIGHT) / 2} y={height - 4} text-anchor="middle">
          ms since the firing
        </text>
      </svg>
      <EdgeWords shot={shot} gates={gates} />
    </>
  );
}

/** The same in words: what a picture cannot say to everyone. */
function EdgeWords({ shot, gates }: Pick<EdgeStripProps, 'shot' | 'gates'>) {
  return (
    <ul class="edge-words">
      {gates.map((gate) => {
        const passage = shot.passages.find((one) => one.gate === gate.name);
        const none = shot.rejectedPassages?.some((one) => one.gate === gate.name) ? 'rejected' : 'no passage';
        const reasons = shot.edges.filter((edge) => edge.gate === gate.name && edge.verdict === 'rejected').map((edge) => edge.reason);
        return (
          <li key={gate.name}>
            <b>{gate.name}</b> {passage ? `at ${(passage.timeS * 1e3).toFixed(4)} ms` : none}
            {passage?.occlusionS !== undefined && `, blocked ${(passage.occlusionS * 1e3).toFixed(4)} ms`}
            {passage?.offAxisM !== undefined && `, ${(passage.offAxisM * 1e3).toFixed(0)} mm off axis`}
            {reasons.length > 0 && (
              <span class="rejected-words">{`✕ ${reasons.length} rejected: ${[...new Set(reasons)].join('; ')}`}</span>
            )}
          </li>
        );
      })}
    </ul>
  );
}

function ticksMs(fromS: number, toS: number, widthPx: number): readonly number[] {
  const spanMs = (toS - fromS) * 1000;
  const step = TICK_STEPS_MS.find((one) => spanMs / one <= widthPx / 55) ?? spanMs;
  const first = Math.ceil((fromS * 1000) / step);
  const last = Math.floor((toS * 1000) / step);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => (first + index) * step);
}

/** The range to scale along the flight line, and below it when each beam was blocked. */

import { formatValue } from '../../../host/units/index.ts';
import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { EdgeStrip } from './edge-strip.tsx';
import { useWidth } from './use-width.ts';

const HEIGHT = 144;
const AXIS_Y = 72;
const LABEL_PX = 26;
const SIDE = 14;

export function RangeDrawing({ shot, rig }: { readonly shot: Shot; readonly rig: RigSummary }) {
  const { element, widthPx } = useWidth();
  return (
    <>
      <h3>
        Range and gates <small>lengths to scale, heights not</small>
      </h3>
      <div ref={element} class="drawing">
        {widthPx > 0 && <Drawing rig={rig} shot={shot} widthPx={widthPx} />}
        {widthPx > 0 && <EdgeStrip shot={shot} gates={rig.gates} widthPx={widthPx} />}
      </div>
    </>
  );
}

function Drawing({ rig, shot, widthPx }: { readonly rig: RigSummary; readonly shot: Shot; readonly widthPx: number }) {
  const scale = (widthPx - 2 * SIDE) / (rig.barrelLengthM + rig.targetPositionM);
  const x = (positionM: number) => SIDE + (rig.barrelLengthM + positionM) * scale;
  // A gate close behind another has its name below, so that the two can be read.
  const tight = (index: number): boolean => {
    const [before, gate] = [rig.gates[index - 1], rig.gates[index]];
    return before !== undefined && gate !== undefined && x(gate.positionM) - x(before.positionM) < LABEL_PX && !tight(index - 1);
  };
  const seen = new Set(shot.passages.map((passage) => passage.gate));
  const length = (m: number) => formatValue(m, 'length', units.value);
  const said = `Barrel ${length(rig.barrelLengthM)} long; gates at ${rig.gates.map((gate) => `${gate.name} ${length(gate.positionM)}`).join(', ')}; target at ${length(rig.targetPositionM)} from the muzzle datum`;
  return (
    <svg width={widthPx} height={HEIGHT} viewBox={`0 0 ${widthPx} ${HEIGHT}`} role="img" aria-label={said}>
      <line class="flight" x1={x(0)} x2={x(rig.targetPositionM)} y1={AXIS_Y} y2={AXIS_Y} />
      <rect class="barrel-body" x={x(-rig.barrelLengthM)} y={AXIS_Y - 8} width={x(0) - x(-rig.barrelLengthM)} height={16} />
      <text class="caption" x={x(-rig.barrelLengthM / 2)} y={AXIS_Y - 16} text-anchor="middle">
        barrel {length(rig.barrelLengthM)}
      </text>
      <line class="datum" x1={x(0)} x2={x(0)} y1={AXIS_Y - 26} y2={AXIS_Y + 46} />
      <text class="caption" x={x(0)} y={AXIS_Y + 62} text-anchor="middle">
        datum
      </text>
      {rig.gates.map((gate, index) => (
        <g key={gate.name} class={seen.has(gate.name) ? 'gate' : 'gate missed'}>
          <title>{`${gate.name}, ${length(gate.positionM)} from the datum${seen.has(gate.name) ? '' : ': no passage'}`}</title>
          <line x1={x(gate.positionM)} x2={x(gate.positionM)} y1={AXIS_Y - 24} y2={AXIS_Y + 24} />
          <path d={`M${x(gate.positionM) - 4} ${AXIS_Y - 30}h8v6h-8zM${x(gate.positionM) - 4} ${AXIS_Y + 24}h8v6h-8z`} />
          <text x={x(gate.positionM)} y={tight(index) ? AXIS_Y + 45 : AXIS_Y - 36} text-anchor="middle">
            {gate.name}
          </text>
        </g>
      ))}
      <PairBrackets rig={rig} x={x} />
      <rect class="target" x={x(rig.targetPositionM)} y={AXIS_Y - 26} width={7} height={52} />
      <text class="caption" x={widthPx - 2} y={AXIS_Y + 62} text-anchor="end">
        target {length(rig.targetPositionM)}
      </text>
    </svg>
  );
}

/** Each pair's middle, where its velocity applies. */
function PairBrackets({ rig, x }: { readonly rig: RigSummary; readonly x: (positionM: number) => number }) {
  const names = [...new Set(rig.gates.map((gate) => gate.pair))];
  return (
    <>
      {names.map((name) => {
        const positions = rig.gates.filter((gate) => gate.pair === name).map((gate) => gate.positionM);
        const from = x(Math.min(...positions));
        const to = x(Math.max(...positions));
        return (
          <g key={name} class="pair">
            <path d={`M${from} 22v-5H${to}v5`} />
            <text x={(from + to) / 2} y={13} text-anchor="middle">
              {name}
            </text>
          </g>
        );
      })}
    </>
  );
}

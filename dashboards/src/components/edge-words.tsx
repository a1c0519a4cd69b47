import type { RigSummary, Shot } from '../../../protocol/index.ts';

/** When each beam was blocked, in words: what a picture cannot say to everyone. */
export function EdgeWords({ shot, gates }: { readonly shot: Shot; readonly gates: RigSummary['gates'] }) {
  if (shot.edges.length === 0) return <p class="empty">No gate edges came with this shot.</p>;
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

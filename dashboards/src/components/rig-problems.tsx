import { rigRejected } from '../state/crew.ts';

/** A rig file that cannot be read, with the places in it. */
export function RigProblems() {
  const told = rigRejected.value;
  if (!told) return null;
  return (
    <section class="panel rig-problems" aria-labelledby="rig-problems-title">
      <h2 id="rig-problems-title">Rig file not taken</h2>
      <p>The session goes on with the rig as it was before. To be put right in the file:</p>
      <ul>
        {told.problems.map((problem) => (
          <li key={problem}>{problem}</li>
        ))}
      </ul>
    </section>
  );
}

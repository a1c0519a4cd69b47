/** What must never be read into this page. */
export function Caution() {
  return (
    <footer class="caution">
      <p>
        <strong>A reading here is no proof that a vessel is empty.</strong> Postern measures and records; it is no interlock, and it neither
        arms nor fires anything. Vent and lock off by your own procedure before anyone enters the exclusion zone. Stored gas, fragments and
        noise injure: wear eye and ear protection, and let one person be in charge of firing.
      </p>
    </footer>
  );
}

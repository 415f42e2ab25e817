import { type DesignFactor, designFactors } from "../../rig/mod.ts";
import { Scroll } from "../parts/scroll.tsx";

/** Design factors as fields customarily use them; what is not in the list is for the user's own authority to say. */
export function CustomaryFactors() {
  return (
    <Scroll label="Customary design factors">
      <table class="factors">
        <caption>Customary design factors, shown and never applied by themselves</caption>
        <thead>
          <tr>
            <th scope="col">Field</th>
            <th scope="col" class="number">
              Factor
            </th>
            <th scope="col">What it divides, and where it stands</th>
          </tr>
        </thead>
        <tbody>
          {designFactors.map((row) => (
            <tr key={row.field}>
              <th scope="row">{row.field}</th>
              <td class="number">{factorText(row.factor)}</td>
              <td>
                {row.dividesWhat}
                <small class="aside">{row.source}</small>
              </td>
            </tr>
          ))}
          <tr>
            <th scope="row">Any other field</th>
            <td class="number">–</td>
            <td>Not known here. Ask the authority that governs your work.</td>
          </tr>
        </tbody>
      </table>
    </Scroll>
  );
}

function factorText(factor: DesignFactor["factor"]): string {
  return typeof factor === "number" ? String(factor) : `${factor[0]} to ${factor[1]}`;
}

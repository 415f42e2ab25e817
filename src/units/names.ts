/** Units of force that a logger may write; "gf" is gram-force, "tf" the metric tonne-force. */
export const forceUnits = ["N", "kN", "daN", "kgf", "gf", "tf", "lbf", "kip"] as const;
export type ForceUnit = (typeof forceUnits)[number];

export const lengthUnits = ["m", "mm", "cm", "in", "ft"] as const;
export type LengthUnit = (typeof lengthUnits)[number];

declare const unit: unique symbol;

/** A number that carries its unit in its type, so that a length can never be passed where a force is wanted. */
export type Quantity<Unit extends string> = number & { readonly [unit]: Unit };

export type Newtons = Quantity<"N">;
export type Metres = Quantity<"m">;
export type Seconds = Quantity<"s">;

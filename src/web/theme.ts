import { effect, signal } from "@preact/signals";
import { recall, remember } from "./memory.ts";

/** Paper for daylight, slate for the shed; "system" follows what the computer is set to. */
export const themes = ["system", "light", "dark"] as const;
export type Theme = (typeof themes)[number];

export const theme = signal<Theme>(themes.find((name) => name === recall("theme")) ?? "system");

export function setTheme(next: Theme): void {
  theme.value = next;
  remember("theme", next === "system" ? undefined : next);
}

effect(() => {
  document.documentElement.style.colorScheme = theme.value === "system" ? "light dark" : theme.value;
});

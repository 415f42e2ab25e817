/** The line that the last press brought the focus to; a second press there places the caret as usual. */
let arrivedAt: EventTarget | null = null;

/** Makes a line's whole text selected when the focus comes to it, by key or by hand, so that typing replaces it. */
export function selectedOnArrival() {
  return {
    onFocus(event: { readonly currentTarget: HTMLInputElement }): void {
      event.currentTarget.select();
      arrivedAt = event.currentTarget;
    },
    // Pressing puts the caret where it was pressed, after the focus came: the text is selected once more.
    onClick(event: { readonly currentTarget: HTMLInputElement }): void {
      if (arrivedAt === event.currentTarget) event.currentTarget.select();
      arrivedAt = null;
    },
  };
}

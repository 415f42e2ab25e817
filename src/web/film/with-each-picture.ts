/**
 * Calls back with each picture that a film shows; answers how that is ended. A browser that does not say when a picture is
 * shown is asked with each of its own pictures whether the film has moved.
 */
export function withEachPicture(film: HTMLVideoElement, show: () => void): () => void {
  let asked = 0;
  if ("requestVideoFrameCallback" in film) {
    const follow = (): void => {
      show();
      asked = film.requestVideoFrameCallback(follow);
    };
    asked = film.requestVideoFrameCallback(follow);
    return () => film.cancelVideoFrameCallback(asked);
  }
  // The branch above narrowed the film away: to the types every browser has it.
  const plain: Pick<HTMLVideoElement, "currentTime"> = film;
  let shown = Number.NaN;
  const look = (): void => {
    if (plain.currentTime !== shown) {
      shown = plain.currentTime;
      show();
    }
    asked = requestAnimationFrame(look);
  };
  asked = requestAnimationFrame(look);
  return () => cancelAnimationFrame(asked);
}

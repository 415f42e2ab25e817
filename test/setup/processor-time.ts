/** What a piece of work takes of the processor, in ms: on a busy machine it waits longer, and works no longer. */
export function processorMs(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

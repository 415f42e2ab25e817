/** Put in by the build from package.json. */
declare const __BITTEREND_VERSION__: string;

/** The program's version, as reports and results carry it. */
export const programVersion: string = __BITTEREND_VERSION__;

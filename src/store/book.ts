import type { Kysely } from "kysely";
import { type Store, StoreTrouble, type StoreWork } from "../app/mod.ts";
import type { Problem } from "../problem/mod.ts";
import { insertImport, listImports } from "./imported-bundles.ts";
import { getPicture, insertPicture, listPictures, removePicture } from "./pictures.ts";
import { recipeVersions } from "./recipe-versions.ts";
import {
  getRecording,
  insertRecording,
  keepOutline,
  listRecordings,
  recordingBytes,
  recordingOutline,
  recordingRows,
  removeRecording,
  updateReading,
} from "./recordings.ts";
import { getRecord, insertRecord, listRecords, removeRecord, updateRecord } from "./records.ts";
import { getReport, insertReport, listReports, withdrawReport } from "./reports.ts";
import type { Database } from "./tables.ts";

/**
 * The store over an open database of either kind. `troubleOf` knows that database's errors: which of them are no fault
 * of the program, and what to say of them.
 */
export function makeStore(db: Kysely<Database>, troubleOf: (error: unknown) => Problem | undefined): Store {
  const orTrouble = async <T>(work: () => Promise<T>): Promise<T> => {
    try {
      return await work();
    } catch (error) {
      const problem = troubleOf(error);
      throw problem === undefined ? error : new StoreTrouble(problem, error);
    }
  };
  const read = workOn(db);
  return {
    transaction: (work) => orTrouble(() => db.transaction().execute((inside) => work(workOn(inside)))),
    read: {
      get: (kind, id) => orTrouble(() => read.get(kind, id)),
      list: (kind, filter) => orTrouble(() => read.list(kind, filter)),
      recipeVersions: (id) => orTrouble(() => read.recipeVersions(id)),
      getRecording: (sha256) => orTrouble(() => read.getRecording(sha256)),
      listRecordings: (filter) => orTrouble(() => read.listRecordings(filter)),
      recordingBytes: (sha256) => orTrouble(() => read.recordingBytes(sha256)),
      recordingRows: (sha256, reader) => orTrouble(() => read.recordingRows(sha256, reader)),
      recordingOutline: (sha256) => orTrouble(() => read.recordingOutline(sha256)),
      listPictures: (subjects) => orTrouble(() => read.listPictures(subjects)),
      getPicture: (id) => orTrouble(() => read.getPicture(id)),
      listReports: (filter) => orTrouble(() => read.listReports(filter)),
      getReport: (id) => orTrouble(() => read.getReport(id)),
      listImports: (filter) => orTrouble(() => read.listImports(filter)),
      getFact: (name) => orTrouble(() => read.getFact(name)),
    },
    close: () => db.destroy(),
  };
}

function workOn(db: Kysely<Database>): StoreWork {
  return {
    insert: (kind, kept, fields) => insertRecord(db, kind, kept, fields),
    update: (kind, id, revision, changedAt, fields) =>
      updateRecord(db, kind, id, revision, changedAt, fields),
    remove: (kind, id) => removeRecord(db, kind, id),
    get: (kind, id) => getRecord(db, kind, id),
    list: (kind, filter) => listRecords(db, kind, filter),
    recipeVersions: (id) => recipeVersions(db, id),
    insertRecording: (recording, bytes) => insertRecording(db, recording, bytes),
    getRecording: (sha256) => getRecording(db, sha256),
    listRecordings: (filter) => listRecordings(db, filter),
    recordingBytes: (sha256) => recordingBytes(db, sha256),
    recordingRows: (sha256, reader) => recordingRows(db, sha256, reader),
    recordingOutline: (sha256) => recordingOutline(db, sha256),
    keepOutline: (sha256, layout, bytes) => keepOutline(db, sha256, layout, bytes),
    updateReading: (sha256, read) => updateReading(db, sha256, read),
    removeRecording: (sha256) => removeRecording(db, sha256),
    insertPicture: (picture, bytes) => insertPicture(db, picture, bytes),
    listPictures: (subjects) => listPictures(db, subjects),
    getPicture: (id) => getPicture(db, id),
    removePicture: (id) => removePicture(db, id),
    insertReport: (report, html, content) => insertReport(db, report, html, content),
    listReports: (filter) => listReports(db, filter),
    getReport: (id) => getReport(db, id),
    withdrawReport: (id, withdrawn) => withdrawReport(db, id, withdrawn),
    insertImport: (imported) => insertImport(db, imported),
    listImports: (filter) => listImports(db, filter),
    getFact: async (name) =>
      (await db.selectFrom("fact").select("value").where("name", "=", name).executeTakeFirst())?.value,
    setFact: async (name, value) => {
      await db
        .insertInto("fact")
        .values({ name, value })
        .onConflict((conflict) => conflict.column("name").doUpdateSet({ value }))
        .execute();
    },
  };
}

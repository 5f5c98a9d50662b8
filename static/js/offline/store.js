// What the phone keeps until the club has it: a queue of writes and a few facts, in IndexedDB.
const NAME = "fieldbell";
const WRITES = "writes";
const FACTS = "facts";

let opened;

function open() {
  opened ??= new Promise((done, failed) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      const writes = request.result.createObjectStore(WRITES, { keyPath: "number", autoIncrement: true });
      writes.createIndex("op_id", "op_id", { unique: true });
      request.result.createObjectStore(FACTS);
    };
    request.onsuccess = () => {
      // Another tab wants to change or delete the database: let go, and open again when asked.
      request.result.onversionchange = () => { request.result.close(); opened = undefined; };
      done(request.result);
    };
    request.onerror = () => { opened = undefined; failed(request.error); };
    request.onblocked = () => { opened = undefined; failed(new Error("blocked")); };
  });
  return opened;
}

// `act` gets the store and returns a request; resolved once the transaction is safely down.
async function during(store, mode, act) {
  const base = await open();
  return new Promise((done, failed) => {
    const transaction = base.transaction(store, mode);
    const request = act(transaction.objectStore(store));
    transaction.oncomplete = () => done(request.result);
    transaction.onabort = () => failed(transaction.error);
    transaction.onerror = () => failed(transaction.error);
  });
}

// In the order they were tapped.
export const allWrites = () => during(WRITES, "readonly", (store) => store.getAll());
export const addWrite = (write) => during(WRITES, "readwrite", (store) => store.add(write));
export const changeWrite = (write) => during(WRITES, "readwrite", (store) => store.put(write));
export const dropWrite = (number) => during(WRITES, "readwrite", (store) => store.delete(number));

export const fact = (name) => during(FACTS, "readonly", (store) => store.get(name));
export const setFact = (name, value) => during(FACTS, "readwrite", (store) => store.put(value, name));

"use strict";
// The bench: notes are sent as they are made, kept while there is no network and sent once when it is back.
(() => {
  const QUEUE = "tenmesh-bench-queue";
  const REFUSED = "tenmesh-bench-refused";
  const WORK = "tenmesh-bench-work";
  const PERSON = "tenmesh-bench-person";
  const DEVICE = "tenmesh-bench-device";
  const SOUND = "tenmesh-bench-sound";
  const TWICE_MS = 1500;
  const read = (key, otherwise) => {
    try {
      return JSON.parse(localStorage.getItem(key)) || otherwise;
    } catch (broken) {
      return otherwise;
    }
  };
  const write = (key, value) => localStorage.setItem(key, JSON.stringify(value));
  const number = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
  };
  const byId = (id) => document.getElementById(id);
  const bench = () => byId("bench");

  // On the page that asks for the badge: what is still kept here.
  const keptNote = byId("badge-kept");
  if (keptNote && read(QUEUE, []).length) {
    keptNote.textContent = read(QUEUE, []).length + " kept on this tablet; they are sent after the next sign-in.";
    keptNote.hidden = false;
  }
  let offline = false;
  // A shared tablet locks when nobody uses it, unless there is no network: nobody could open it again.
  let used = Date.now();
  ["keydown", "pointerdown"].forEach((kind) => document.addEventListener(kind, () => {
    used = Date.now();
  }, true));
  const lock = async () => {
    const to = encodeURIComponent(location.pathname);
    write(PERSON, "");
    try {
      await fetch("/bench-lock", { method: "POST", body: new URLSearchParams({ csrf: document.querySelector("input[name=csrf]").value }) });
    } catch (away) {
      // The server ends the sign-in by itself.
    }
    location.assign("/badge?locked=yes&to=" + to);
  };
  let locking = false;
  setInterval(() => {
    const after = Number(document.documentElement.dataset.locks);
    if (after && !offline && !locking && Date.now() - used > after * 1000) {
      locking = true;
      lock();
    }
  }, 1000);

  // What the tablet itself has to say stands above the work; a redraw makes it anew.
  const told = () => {
    if (byId("bench-said")) {
      return;
    }
    const note = (name, id, attributes) => element(name, "", bench(), { id, hidden: "", class: "notice bench-note " + (attributes.class || ""), ...attributes.more });
    note("p", "bench-said", { more: { role: "status" } });
    const box = note("div", "bench-asks", { more: { role: "alertdialog", "aria-labelledby": "bench-question" } });
    box.classList.add("wrong");
    element("p", "", box, { id: "bench-question" });
    const row = element("p", "", box, { class: "row" });
    element("button", "Yes, go on", row, { type: "button", class: "main", id: "bench-yes" });
    element("button", "No", row, { type: "button", id: "bench-no" });
    note("p", "bench-offline", { more: { role: "status" } }).classList.add("offline");
    const refused = note("div", "bench-refused", { more: { role: "alert" } });
    refused.classList.add("wrong");
    element("ul", "", refused);
    element("button", "Seen", element("p", "", refused), { type: "button", id: "bench-seen" });
    element("button", "", element("p", "", bench(), { class: "row bench-tools" }), { type: "button", class: "quiet-button", id: "bench-sound" });
    if (words) {
      says(words);
    }
  };
  if (!bench()) {
    return;
  }
  if (!localStorage.getItem(DEVICE)) {
    localStorage.setItem(DEVICE, "tablet-" + number().slice(0, 8));
  }
  // A page that was kept may be another person's: who is signed in is what the server said last.
  if (!read(PERSON, "")) {
    write(PERSON, bench().dataset.person);
  }

  const show = (id, text) => {
    const note = byId(id);
    if (note) {
      note.textContent = text;
      note.hidden = !text;
    }
  };
  // What was said last outlasts a redraw, not the next thing said.
  let words = "";
  const TWICE = "Scanned twice: taken once.";
  let twiceAt = 0;
  // The answer to the first scan may come at once: that it was scanned twice stands beside it.
  const says = (text) => {
    if (text === TWICE) {
      twiceAt = Date.now();
    }
    words = text && !text.includes(TWICE) && Date.now() - twiceAt < TWICE_MS ? text + " " + TWICE : text;
    show("bench-said", words);
  };
  const status = () => {
    const waiting = read(QUEUE, []).length;
    show("bench-offline", offline
      ? "No network. " + (waiting ? waiting + " kept on this tablet" : "What you note is kept on this tablet") + "; sent once when it is back."
      : waiting ? waiting + " kept on this tablet, being sent." : "");
    const refused = read(REFUSED, []);
    const box = byId("bench-refused");
    if (box) {
      box.hidden = !refused.length;
      box.querySelector("ul").replaceChildren(...refused.map((one) => {
        const line = document.createElement("li");
        line.textContent = one.code + ", " + one.what + ", noted at " + new Date(one.at).toLocaleTimeString("en-GB") + " was refused: " + one.reason;
        return line;
      }));
    }
  };

  // What is to be done with a tray by what this tablet knows: the feed, less what is still to be sent.
  const known = (scannedCode) => {
    let code = scannedCode;
    const feed = read(WORK, null);
    if (!feed || !feed.work || !feed.work.trays) {
      return null;
    }
    const rack = /^R-?\d{1,6}$/.test(code);
    if (rack) {
      code = "R-" + String(Number(code.replace(/\D/g, ""))).padStart(3, "0");
    }
    const tray = rack ? { code, regulated: (feed.work.regulatedRacks || []).includes(code), todo: feed.work.rack, soils: {} }
      : feed.work.trays.find((one) => one.code === code || one.soils[code]);
    if (!tray) {
      return null;
    }
    const todo = tray.todo.map(([at, runs, over]) => ({ ...feed.work.steps[at], runs: runs === 1, over }));
    for (const note of read(QUEUE, []).filter((one) => one.code === tray.code)) {
      const at = todo.findIndex((step) => step.key === note.step);
      if (at >= 0 && note.what === "done") {
        todo.splice(0, at + 1);
      } else if (at >= 0 && note.what === "begun") {
        todo[at].runs = true;
        todo[at].over = todo[at].lasts ? Date.parse(note.at) + todo[at].lasts * 1000 : 0;
      }
    }
    return { kind: rack ? "rack" : "tray", code: tray.code, day: rack ? "" : feed.work.day, regulated: tray.regulated, todo, soils: tray.soils, soil: tray.soils[code] ? code : "" };
  };

  const element = (name, words, into, attributes) => {
    const made = document.createElement(name);
    made.textContent = words || "";
    Object.entries(attributes || {}).forEach(([key, value]) => made.setAttribute(key, value));
    into.append(made);
    return made;
  };
  // Drawn without the server. The same notes are made of it; wells are chosen from a list.
  const drawn = (work) => {
    const main = byId("main");
    const old = byId("offline-work");
    if (old) {
      old.remove();
    }
    document.querySelectorAll("main > form#note, main > section, main > ul, main > h1, main > h2, main > details, main > p.after").forEach((one) => {
      if (!one.contains(bench())) {
        one.remove();
      } else {
        main.prepend(bench());
        one.remove();
      }
    });
    const form = element("form", "", main, { id: "note", class: "bench-form", method: "post", action: "/bench-acts" });
    bench().after(form);
    const section = element("section", "", form, { id: "offline-work" });
    const step = work.todo.find((one) => !(one.runs && one.lasts > 1200)) || work.todo[0];
    const title = element("h1", (work.kind === "rack" ? "Rack " : "Tray ") + work.code, section, { class: "step" });
    if (work.regulated) {
      element("span", "regulated: keep apart", title, { class: "word regulated" });
    }
    [["kind", work.kind], ["code", work.code], ["day", work.day], ["step", step ? step.key : ""]].forEach(([name, value]) =>
      element("input", "", form, { type: "hidden", name, value }));
    if (!step) {
      element("p", "Nothing to do now, by what this tablet knew last", section, { class: "big" });
      return;
    }
    element("p", step.phrase === step.big ? "" : step.phrase, section, { class: "step" });
    element("p", step.big, section, { class: "big", id: "big" });
    element("p", step.what, section, { class: "then" });
    if (step.runs) {
      const timer = element("p", "", section, { class: "timer large", "data-over": step.over });
      element("span", "", timer, { class: "left", "data-left": "" });
    }
    const acts = element("p", "", section, { class: "row acts" });
    const button = (what, words, main_) => element("button", words, acts, { type: "submit", name: "what", value: what, "data-what": what, class: main_ ? "main" : "" });
    if (step.begins && !step.runs) {
      button("begun", "Begun", true);
    }
    button("done", "Done", !step.begins || step.runs);
    button("spilt", "Spilt");
    if (work.kind === "tray") {
      button("too-little", "Too little soil");
      const plate = element("div", "", section, { class: "plate-wells", role: "radiogroup", "aria-label": "Wells" });
      Object.entries(work.soils).sort((a, b) => a[1].localeCompare(b[1])).forEach(([soil, well]) => {
        const label = element("label", "", plate, { class: "well" });
        const radio = element("input", "", label, { type: "radio", name: "soil", value: soil });
        radio.checked = soil === work.soil;
        element("b", well, label);
        element("span", soil, label);
      });
    }
    button("wrong-tray", "Wrong tray");
    if (step.cautions.length) {
      const caution = element("div", "", section, { class: "caution" });
      element("b", "Take care", caution);
      const list = element("ul", "", caution);
      step.cautions.forEach((one) => element("li", one, list));
      element("p", "Your laboratory's own safety rules come first.", caution, { class: "small" });
    }
    document.title = work.code;
  };

  // A page of the bench, from the server where it answers.
  const open = async (path, push) => {
    try {
      const answer = await fetch(path, { headers: { Accept: "text/html" } });
      const at = new URL(answer.url);
      if (!at.pathname.includes("/bench")) {
        location.assign(at.pathname + at.search);
        return;
      }
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = page.querySelector("main");
      byId("main").replaceChildren(...fresh.childNodes);
      document.title = page.title;
      document.documentElement.dataset.version = page.documentElement.dataset.version;
      if (push && at.pathname + at.search !== location.pathname + location.search) {
        history.pushState(null, "", at.pathname + at.search);
      }
      if (!bench()) {
        location.reload();
        return;
      }
      ready();
      heard(true);
      window.scrollTo(0, 0);
    } catch (away) {
      heard(false);
      const code = decodeURIComponent((/[?&]q=([^&]*)/.exec(path) || /\/bench\/(?:rack\/|soil\/)?([^/?]+)/.exec(path) || ["", ""])[1]).toUpperCase();
      const work = known(code);
      if (work) {
        drawn(work);
        ready();
        if (push) {
          history.pushState(null, "", "/bench/" + (work.kind === "rack" ? "rack/" : "") + encodeURIComponent(work.code));
        }
      } else {
        says("No network, and this tablet does not know " + code + ". Scan it again when the network is back.");
      }
    }
  };
  window.addEventListener("popstate", () => open(location.pathname + location.search, false));

  const heard = (yes) => {
    offline = !yes;
    status();
  };

  let asking = null;
  const asks = (question, note) => {
    asking = note;
    byId("bench-question").textContent = question;
    byId("bench-asks").hidden = false;
    byId("bench-yes").focus();
  };
  const send = async (note) => {
    const fields = new URLSearchParams({ ...note, csrf: bench().querySelector("[name=csrf]").value, answer: "json" });
    const stop = new AbortController();
    const late = setTimeout(() => stop.abort(), 6000);
    try {
      const answer = await fetch("/bench-acts", { method: "POST", body: fields, signal: stop.signal, headers: { Accept: "application/json" } });
      if (answer.status === 403 || answer.redirected) {
        return { word: "signed-out" };
      }
      if (answer.status >= 500) {
        return { word: "away" };
      }
      return await answer.json();
    } catch (away) {
      return { word: "away" };
    } finally {
      clearTimeout(late);
    }
  };
  const keep = (note) => {
    write(QUEUE, [...read(QUEUE, []), { ...note, late: "yes" }]);
    status();
    const work = known(note.code);
    if (work) {
      drawn(work);
      ready();
    }
    says("Kept on this tablet: " + note.code + ", " + note.what + ".");
  };
  // One after the other, in the order in which they were made; one that was sent and not answered is sent again and kept once.
  let flushing = false;
  const flush = async () => {
    if (flushing || !read(QUEUE, []).length) {
      return;
    }
    flushing = true;
    let sent = 0;
    while (read(QUEUE, []).length) {
      const note = read(QUEUE, [])[0];
      const answer = await send(note);
      if (answer.word === "away") {
        heard(false);
        break;
      }
      if (answer.word === "signed-out") {
        location.assign("/badge?to=" + encodeURIComponent(location.pathname));
        break;
      }
      write(QUEUE, read(QUEUE, []).filter((one) => one.id !== note.id));
      if (answer.word === "kept" || answer.word === "known") {
        sent++;
      } else {
        write(REFUSED, [...read(REFUSED, []), { code: note.code, what: note.what, at: note.at, reason: answer.says || "no reason was given" }]);
      }
      heard(true);
    }
    flushing = false;
    status();
    if (sent && !read(QUEUE, []).length) {
      await open(location.pathname + location.search, false);
      says(sent + " kept notes were sent, each once.");
    }
  };

  let last = { words: "", at: 0 };
  const take = async (note) => {
    // Whatever step the page shows meanwhile: a scan that came twice must not be taken for the next one.
    const same = [note.code, note.chosen || "", note.what, note.instrument, note.soil].join(" ");
    if (same === last.words && Date.now() - last.at < TWICE_MS) {
      says(TWICE);
      return;
    }
    last = { words: same, at: Date.now() };
    if (offline || read(QUEUE, []).length) {
      if ((note.what === "spilt" || note.what === "too-little") && note.kind === "tray" && !note.soil) {
        chooses(note, "Which well? Tap or scan it.");
        return;
      }
      keep(note);
      if (!offline) {
        await flush();
      }
      return;
    }
    const answer = await send(note);
    if (answer.word === "away") {
      heard(false);
      keep(note);
    } else if (answer.word === "signed-out") {
      write(QUEUE, [...read(QUEUE, []), { ...note, late: "yes" }]);
      location.assign("/badge?to=" + encodeURIComponent(location.pathname));
    } else if (answer.word === "asks") {
      asks(answer.says, note);
    } else if (answer.word === "chooses") {
      chooses(note, answer.says);
    } else {
      await open(location.pathname + (answer.word === "kept" ? "" : location.search), false);
      says(answer.word === "refused" ? "Not noted. " + answer.says : answer.says);
      beat();
    }
  };
  let choosing = null;
  const chooses = (note, question) => {
    choosing = note;
    says(question);
    const first = document.querySelector(".plate-wells input");
    if (first) {
      first.focus();
    }
  };
  const noteOf = (form, button) => {
    const value = (name) => {
      const field = form.querySelector("[name=" + name + "]:checked") || form.querySelector("input[type=hidden][name=" + name + "]");
      return field ? field.value : "";
    };
    return {
      id: number(),
      kind: value("kind"),
      code: value("code"),
      day: value("day"),
      step: button.dataset.step || value("step"),
      chosen: button.dataset.step || "",
      what: button.dataset.what,
      instrument: button.dataset.instrument || "",
      act: button.name === "act" ? button.value : "",
      soil: button.dataset.what === "spilt" || button.dataset.what === "too-little" ? value("soil") : "",
      at: new Date().toISOString(),
      device: localStorage.getItem(DEVICE),
      person: read(PERSON, ""),
      ...Object.fromEntries([...form.querySelectorAll("[data-measure], input[data-lot]")].filter((one) => one.value && (one.name !== "why" || button.dataset.what === "taken-back")).map((one) => [one.name, one.value])),
    };
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.id === "note" && event.submitter && event.submitter.dataset.what) {
      event.preventDefault();
      event.stopImmediatePropagation();
      take(noteOf(form, event.submitter));
    } else if (form.querySelector("[data-scan], #find")) {
      event.preventDefault();
      event.stopImmediatePropagation();
      const field = form.querySelector("[data-scan], #find");
      const code = field.value.trim();
      field.value = "";
      scanned(code);
    } else if (form.getAttribute("action") === "/sign-out") {
      write(PERSON, "");
    }
  }, true);
  document.addEventListener("change", (event) => {
    if (choosing && event.target.name === "soil") {
      const note = { ...choosing, soil: event.target.value };
      choosing = null;
      take(note);
    }
  });
  document.addEventListener("click", (event) => {
    const id = event.target.id;
    if (id === "bench-yes" && asking) {
      const note = { ...asking, confirmed: "yes" };
      asking = null;
      last = { words: "", at: 0 };
      byId("bench-asks").hidden = true;
      take(note);
    } else if (id === "bench-no") {
      asking = null;
      byId("bench-asks").hidden = true;
      says("Nothing was noted.");
    } else if (id === "bench-seen") {
      write(REFUSED, []);
      status();
    } else if (id === "bench-sound") {
      write(SOUND, read(SOUND, false) ? false : true);
      ready();
      if (read(SOUND, false)) {
        tone();
      }
    } else {
      const link = event.target.closest && event.target.closest("main a[href^='/bench']");
      if (link && !link.getAttribute("href").startsWith("/bench-card") && !event.ctrlKey && !event.metaKey) {
        event.preventDefault();
        open(link.getAttribute("href"), true);
      }
    }
  });

  const poured = (name) => {
    byId("lot").value = name;
    document.querySelector("#note button.main").focus();
    says("Lot " + name + " is kept with the next note.");
  };
  // A scanner ends with Enter, which must not note the step unseen.
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.id === "lot") {
      event.preventDefault();
      poured(event.target.value.trim());
    }
  });

  const COMMANDS = { "DO-BEGIN": "begun", "DO-DONE": "done", "DO-SPILT": "spilt", "DO-LITTLE": "too-little", "DO-WRONG": "wrong-tray", "DO-BACK": "taken-back" };
  const scanned = (text) => {
    const code = text.toUpperCase();
    if (code === "DO-YES" || code === "DO-NO") {
      if (asking) {
        byId(code === "DO-YES" ? "bench-yes" : "bench-no").click();
      }
      return;
    }
    if (code.startsWith("BDG-")) {
      lock();
      return;
    }
    const instrument = [...document.querySelectorAll("[data-instrument]")].find((one) => one.dataset.instrument.toUpperCase() === code);
    const what = COMMANDS[code];
    const button = instrument || (what && [...document.querySelectorAll("#note [data-what='" + what + "']")].find((one) => !one.dataset.step && !one.dataset.instrument));
    if (button) {
      button.click();
      return;
    }
    // The bottle in the other hand: its lot is kept with the step that is noted next.
    const lot = [...document.querySelectorAll("#lots option")].find((one) => one.value.toUpperCase() === code);
    if (lot) {
      poured(lot.value);
      return;
    }
    // A mill that this page does not know yet.
    const mills = document.querySelector("#note[data-mills]");
    if (mills && /^MILL-[A-Z0-9-]{1,40}$/.test(code)) {
      element("button", "", mills, { type: "submit", name: "instrument", value: code, hidden: "", "data-what": "done", "data-instrument": code }).click();
      return;
    }
    if (mills && what === "done") {
      says("Scan the mill that it is ground in.");
      return;
    }
    if (what) {
      says(what === last.words.split(" ")[2] && Date.now() - last.at < TWICE_MS
        ? TWICE
        : document.querySelector("[data-instrument]") && what === "done"
          ? "Scan the instrument that the vessels go to."
          : "Scan a tray first: there is nothing here that can be " + what.replace("-", " ") + ".");
      return;
    }
    // A well of the tray that is open, while one is asked for.
    const well = [...document.querySelectorAll(".plate-wells input[name=soil]")].find((one) => one.value.toUpperCase() === code);
    if (choosing && well) {
      well.checked = true;
      well.dispatchEvent(new Event("change", { bubbles: true }));
      return;
    }
    open("/find?q=" + encodeURIComponent(text), true);
  };

  // Timers: what is left, by the clock of this device. The end is seen, and heard only where somebody switched it on.
  let rung = new Set();
  let sounds = null;
  const tone = () => {
    try {
      sounds = sounds || new AudioContext();
      [0, 0.35, 0.7].forEach((after) => {
        const one = sounds.createOscillator();
        const gain = sounds.createGain();
        gain.gain.value = 0.2;
        one.frequency.value = 880;
        one.connect(gain).connect(sounds.destination);
        one.start(sounds.currentTime + after);
        one.stop(sounds.currentTime + after + 0.2);
      });
    } catch (mute) {
      // No sound on this device; the end is seen all the same.
    }
  };
  const clock = (ms) => {
    const s = Math.ceil(Math.abs(ms) / 1000);
    const two = (n) => String(n).padStart(2, "0");
    return (s >= 3600 ? Math.floor(s / 3600) + ":" + two(Math.floor(s / 60) % 60) : Math.floor(s / 60)) + ":" + two(s % 60);
  };
  const tick = () => {
    for (const timer of document.querySelectorAll(".timer[data-over]")) {
      const over = Number(timer.dataset.over);
      const left = timer.querySelector("[data-left]");
      if (!over || !left) {
        continue;
      }
      const ms = over - Date.now();
      const shown = ms > 0 ? clock(ms) : "over since " + clock(ms);
      if (left.textContent !== shown) {
        left.textContent = shown;
      }
      timer.classList.toggle("over", ms <= 0);
      if (ms <= 0 && ms > -3000 && read(SOUND, false) && !rung.has(over)) {
        rung.add(over);
        tone();
      }
    }
  };
  setInterval(tick, 500);

  // What every tray needs, for the time without network; asked for now and then, which tells too whether there is one.
  let skewTold = false;
  const beat = async () => {
    try {
      const before = read(WORK, {});
      const answer = await fetch("/bench-work?have=" + (before.digest || ""), { headers: { "X-Tenmesh-Redraw": "1" }, signal: AbortSignal.timeout ? AbortSignal.timeout(6000) : undefined });
      if (answer.redirected || answer.status === 403) {
        if (!bench().hidden) {
          location.assign("/badge?locked=yes&to=" + encodeURIComponent(location.pathname));
        }
        return;
      }
      if (!answer.ok) {
        heard(answer.status < 500);
        return;
      }
      const feed = await answer.json();
      write(PERSON, feed.person);
      if (!feed.same) {
        write(WORK, feed);
        const note = byId("changed");
        const idle = document.documentElement.dataset.redraw === "yes" && !asking && !choosing && !document.querySelector(".plate-wells input:checked");
        if (before.digest && !offline && idle && Date.now() - last.at > TWICE_MS) {
          await open(location.pathname + location.search, false);
        } else if (before.digest && note && !offline && Date.now() - last.at > TWICE_MS) {
          note.hidden = false;
        }
      }
      const skew = Math.abs(feed.now - Date.now());
      if (skew > 120000 && !skewTold) {
        skewTold = true;
        says("The clock of this tablet is " + Math.round(skew / 60000) + " minutes off that of the laboratory. Set it right: times are noted by it.");
      }
      const wasOffline = offline;
      heard(true);
      await flush();
      if (wasOffline && byId("offline-work")) {
        await open(location.pathname + location.search, false);
      }
    } catch (away) {
      heard(false);
    }
  };
  setInterval(beat, 5000);
  window.addEventListener("online", beat);
  window.addEventListener("offline", () => heard(false));

  const ready = () => {
    told();
    status();
    tick();
    const sound = byId("bench-sound");
    if (sound) {
      const on = read(SOUND, false) === true;
      sound.setAttribute("aria-pressed", on ? "true" : "false");
      sound.textContent = "Sound at the end of a timer: " + (on ? "on" : "off");
    }
  };
  ready();
  beat();
  new MutationObserver(() => {
    if (bench() && !byId("bench-said")) {
      ready();
    }
  }).observe(byId("main"), { childList: true });
  // The page comes again after a reload without network, where the browser allows it: over https, or on the machine itself.
  if (navigator.serviceWorker && window.caches) {
    navigator.serviceWorker.register(bench().dataset.worker, { scope: "/bench" }).catch(() => {});
    caches.open("tenmesh-bench-1").then((kept) => {
      const assets = [...document.querySelectorAll("link[rel=stylesheet], script[src]")].map((one) => new URL(one.href || one.src).pathname);
      kept.addAll(assets).catch(() => {});
      if (navigator.onLine) {
        kept.add("/bench").catch(() => {});
      }
    });
  }
  // A page that was kept and is shown without network says what this tablet knows of the tray in its address.
  const shown = /^\/bench\/(?:rack\/)?([^/]+)$/.exec(location.pathname);
  if (shown && (!byId("note") || decodeURIComponent(shown[1]) !== (byId("note").querySelector("[name=code]") || {}).value)) {
    open(location.pathname + location.search, false);
  }
})();

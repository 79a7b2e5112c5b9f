"use strict";
(() => {
  const root = document.documentElement;

  // "/" leads to the field from the keyboard.
  const find = document.querySelector("form.find input");
  // Looked for each time: a page that draws itself again has another one.
  const scanField = () => document.querySelector("[data-scan]") || find;
  const isField = (element) => element && /^(INPUT|SELECT|TEXTAREA)$/.test(element.tagName);
  document.addEventListener("keydown", (event) => {
    const scan = scanField();
    if (event.key === "/" && !isField(document.activeElement) && scan) {
      event.preventDefault();
      scan.focus();
      scan.select();
    }
  });
  // At the bench the field that takes the next scan is ready; elsewhere a scan needs no field.
  if (scanField() && scanField() !== find && !location.hash && !document.querySelector("[autofocus]")) {
    scanField().focus({ preventScroll: true });
  }

  // A scanner types faster than hands and ends with Enter. Wherever the focus is, what it typed goes to the scan field and is taken out
  // of what somebody was writing; while something is being written, the page asks before it leads away.
  const HANDS_MS = 40;
  const SHORTEST = 4;
  let burst = null;
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.key === "Shift") {
      return;
    }
    if (event.key.length === 1) {
      const field = document.activeElement;
      const goesOn = burst && event.timeStamp - burst.last < HANDS_MS && burst.field === field;
      if (!goesOn) {
        burst = { text: "", field, before: isField(field) ? field.value : "", start: field && field.selectionStart };
      }
      burst.text += event.key;
      burst.last = event.timeStamp;
      return;
    }
    const scanned = event.key === "Enter" && burst && event.timeStamp - burst.last < HANDS_MS ? burst : null;
    burst = null;
    const scan = scanField();
    if (!scanned || scanned.text.length < SHORTEST || !scan || scanned.field === scan || scanned.field.type === "password") {
      return;
    }
    event.preventDefault();
    event.stopPropagation();
    if (isField(scanned.field) && scanned.field.value !== undefined) {
      scanned.field.value = scanned.before;
      if (scanned.field.setSelectionRange && scanned.start !== null && scanned.field.type !== "number") {
        scanned.field.setSelectionRange(scanned.start, scanned.start);
      }
    }
    const written = [...document.querySelectorAll("main textarea, main input")].some(
      (field) => field.type !== "hidden" && field !== scan && !field.matches("[data-lot]") && field.value !== field.defaultValue);
    const note = document.getElementById("scanned");
    if (written && note) {
      const link = note.querySelector("a");
      link.textContent = "Open " + scanned.text;
      link.href = "/find?q=" + encodeURIComponent(scanned.text);
      note.hidden = false;
      return;
    }
    scan.value = scanned.text;
    scan.form.requestSubmit();
  }, true);

  // Tables: a head sorts its column, a field above a long table keeps the rows that hold what is typed. Both outlast a redraw.
  const LONG = 15;
  const chosen = new Map();
  const nameOf = (table) => (table.caption ? table.caption.textContent.trim() : "table") + "@" + [...document.querySelectorAll("main table")].indexOf(table);
  const wordsOf = (row, column) => {
    const cell = row.cells[column];
    return cell ? (cell.dataset.sort || cell.textContent).trim() : "";
  };
  // 30 Nov 2026, with or without the weekday and a time. Days written without their year are in no order that holds over New Year.
  const DAY = /^(?:[A-Z][a-z]{2},? )?(\d{1,2}) ([A-Z][a-z]{2})[a-z]*(?: (\d{4}))?(?:,? (\d{1,2}:\d{2}))?$/;
  const isClock = (words) => /^\d{1,2}:\d{2}/.test(words);
  const numberOf = (words) => {
    const day = DAY.exec(words);
    if (day) {
      return day[3] ? Date.parse(day[1] + " " + day[2] + " " + day[3] + " " + (day[4] || "00:00") + " UTC") : NaN;
    }
    if (isClock(words)) {
      return NaN;
    }
    const bare = words.replace(/[\s\u00a0\u2009\u202f]/g, "").replace(/\u2212/g, "-").replace(/^[<>\u2264\u2265+\u00b1]/, "");
    const found = /^-?\d+(?:\.\d+)?(?:e[+-]?\d+)?/i.exec(bare);
    return found ? Number(found[0]) : NaN;
  };
  const sorts = (table) =>
    table.tHead && table.tHead.rows.length === 1 && table.tBodies.length === 1 && table.tBodies[0].rows.length > 2 &&
    !table.querySelector("tbody tr.group, tbody [rowspan], tbody [colspan]");
  const sortBy = (table, column, down) => {
    const body = table.tBodies[0];
    const rows = [...body.rows];
    for (const row of rows) {
      row.place = row.place === undefined ? rows.indexOf(row) : row.place;
    }
    const numeric = rows.map((row) => wordsOf(row, column)).filter((words) => words).every((words) => !Number.isNaN(numberOf(words)) && !/^\d{5}-\d/.test(words));
    rows.sort((a, b) => {
      const x = wordsOf(a, column);
      const y = wordsOf(b, column);
      if (!x || !y) {
        return (x ? 0 : 1) - (y ? 0 : 1) || a.place - b.place;
      }
      const order = numeric ? numberOf(x) - numberOf(y) : x.localeCompare(y, "en", { numeric: true });
      return (down ? -order : order) || a.place - b.place;
    });
    body.append(...rows);
    [...table.tHead.rows[0].cells].forEach((head, at) => {
      if (at === column) {
        head.setAttribute("aria-sort", down ? "descending" : "ascending");
      } else {
        head.removeAttribute("aria-sort");
      }
    });
  };
  // What scrolls within the page is a stop of the keyboard, as long as there is something to scroll to.
  const reach = (around) => {
    const table = around.querySelector("table");
    if (around.scrollHeight > around.clientHeight || around.scrollWidth > around.clientWidth) {
      around.tabIndex = 0;
      around.setAttribute("role", "group");
      around.setAttribute("aria-label", table ? (table.caption ? table.caption.textContent.trim() : "Table") : "Picture");
    } else if (document.activeElement !== around) {
      ["tabindex", "role", "aria-label"].forEach((name) => around.removeAttribute(name));
    }
  };
  const widths = new ResizeObserver((changed) => changed.forEach((one) => reach(one.target)));
  const readyTables = () => {
    widths.disconnect();
    document.querySelectorAll("main .scroll, main .alone .picture").forEach((around) => widths.observe(around));
    for (const table of document.querySelectorAll("main table")) {
      const around = table.closest(".scroll");
      if (!sorts(table)) {
        continue;
      }
      const name = nameOf(table);
      const state = chosen.get(name) || {};
      [...table.tHead.rows[0].cells].forEach((head, column) => {
        const undated = [...table.tBodies[0].rows].some((row) => {
          const day = DAY.exec(wordsOf(row, column));
          return day && !day[3];
        });
        if (!head.textContent.trim() || head.querySelector("button") || undated) {
          return;
        }
        const button = document.createElement("button");
        button.type = "button";
        button.className = "sorts";
        button.append(...head.childNodes);
        head.append(button);
        button.addEventListener("click", () => {
          const down = head.getAttribute("aria-sort") === "ascending";
          chosen.set(name, { ...chosen.get(name), column, down });
          sortBy(table, column, down);
        });
      });
      if (state.column !== undefined) {
        sortBy(table, state.column, state.down);
      }
      if (table.tBodies[0].rows.length > LONG) {
        const line = document.createElement("p");
        line.className = "keeps";
        const label = document.createElement("label");
        label.textContent = "Rows with ";
        const field = document.createElement("input");
        field.type = "text";
        field.autocomplete = "off";
        field.id = "keeps-" + [...document.querySelectorAll("main table")].indexOf(table);
        field.value = state.wanted || "";
        field.defaultValue = field.value;
        const count = document.createElement("span");
        count.className = "quiet";
        count.setAttribute("role", "status");
        label.append(field);
        line.append(label, count);
        field.addEventListener("input", () => {
          field.defaultValue = field.value;
          chosen.set(name, { ...chosen.get(name), wanted: field.value });
          count.textContent = "";
          keep();
        });
        const keep = () => {
          const wanted = field.value.trim().toLowerCase();
          let kept = 0;
          for (const row of table.tBodies[0].rows) {
            row.hidden = wanted !== "" && !row.textContent.toLowerCase().includes(wanted);
            kept += row.hidden ? 0 : 1;
          }
          count.textContent = wanted ? kept + " of " + table.tBodies[0].rows.length + " rows" : "";
        };
        (around || table).before(line);
        keep();
      }
    }
  };
  readyTables();

  // A form is sent once, however often the button is pressed.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method === "post") {
      if (form.dataset.sent) {
        event.preventDefault();
      }
      form.dataset.sent = "yes";
    }
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.forms) {
      delete form.dataset.sent;
    }
  });

  // The points of a picture are one stop of the keyboard; the arrows lead from point to point. Without this every point is a stop.
  const gather = () => {
    for (const picture of document.querySelectorAll("svg[role=group]")) {
      const points = [...picture.querySelectorAll(".point")];
      points.forEach((point, i) => point.setAttribute("tabindex", i ? "-1" : "0"));
    }
  };
  document.addEventListener("keydown", (event) => {
    const point = event.target.closest && event.target.closest(".point");
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!point || !(step || event.key === "Home" || event.key === "End")) {
      return;
    }
    const points = [...point.ownerSVGElement.querySelectorAll(".point")];
    const at = event.key === "Home" ? 0 : event.key === "End" ? points.length - 1 : points.indexOf(point) + step;
    if (points[at]) {
      event.preventDefault();
      points.forEach((one) => one.setAttribute("tabindex", one === points[at] ? "0" : "-1"));
      points[at].focus();
    }
  });
  gather();

  // When the day changes, a page that nobody is typing in draws itself again; any other says so and waits.
  const note = document.getElementById("changed");
  let version = root.dataset.version;
  let drawing = false;
  const busy = () => {
    const active = document.activeElement;
    const typing = active && /^(SELECT|TEXTAREA)$/.test(active.tagName);
    const typed = [...document.querySelectorAll("main input, main textarea")].some((field) => field.value !== field.defaultValue);
    return typing || typed || (find && find.value !== find.defaultValue);
  };
  // What has the focus keeps it when the page draws itself again: known by its id, or by all that it is and says.
  const looks = (one) =>
    one.id || [one.tagName, one.name, one.value, one.getAttribute("aria-label"), one.getAttribute("href"), one.textContent].join("\n");
  const redraw = async () => {
    const answer = await fetch(location.href, { headers: { "X-Tenmesh-Redraw": "1" } });
    if (!answer.ok || answer.redirected) {
      location.reload();
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    const stale = document.querySelector("main");
    const open = new Set([...stale.querySelectorAll("details[open][id]")].map((d) => d.id));
    for (const details of fresh.querySelectorAll("details[id]")) {
      details.open = open.has(details.id);
    }
    const focused = document.activeElement;
    const was = stale.contains(focused) ? looks(focused) : "";
    const live = runsUnderWay();
    const place = fresh.querySelector("#under-way");
    if (live && place) {
      place.replaceWith(live);
    }
    stale.replaceChildren(...fresh.childNodes);
    readyTables();
    gather();
    root.dataset.version = page.documentElement.dataset.version;
    version = root.dataset.version;
    if (was) {
      const again = [...stale.querySelectorAll("a[href], button, input, summary, [tabindex]")].find((one) => looks(one) === was);
      if (again) {
        again.focus({ preventScroll: true });
      }
    }
  };
  const heard = async (now) => {
    if (now === version || drawing) {
      return;
    }
    if (root.dataset.redraw === "yes" && !busy()) {
      drawing = true;
      try {
        await redraw();
      } catch (away) {
        // The server is away; it will be heard again.
      }
      drawing = false;
    } else if (note) {
      note.hidden = false;
    }
  };
  // What changes though the day does not, such as temperatures that come, is drawn again every so many seconds for as long as the page says so.
  const again = document.querySelector("[data-again-s]");
  if (again) {
    setInterval(async () => {
      if (document.querySelector("[data-again-s]") && !document.hidden && !drawing && !busy()) {
        drawing = true;
        try {
          await redraw();
        } catch (away) {
          // The server is away; it is asked again.
        }
        drawing = false;
      }
    }, 1000 * Number(again.dataset.againS));
  }
  // A run under way changes where it stands on the page, without the page being asked for again.
  const runsUnderWay = () => document.getElementById("under-way");
  const runUnderWay = (html) => {
    const place = runsUnderWay();
    const fresh = new DOMParser().parseFromString(html, "text/html").querySelector(".under-way");
    if (!place || !fresh || (place.dataset.only && place.dataset.only !== fresh.dataset.run)) {
      return;
    }
    const stale = document.getElementById(fresh.id);
    if (stale) {
      const at = [...stale.querySelectorAll("a")].indexOf(document.activeElement);
      stale.replaceWith(fresh);
      if (at >= 0) {
        const links = fresh.querySelectorAll("a");
        links[Math.min(at, links.length - 1)].focus({ preventScroll: true });
      }
    } else {
      const after = [...place.querySelectorAll(".under-way")].find((one) => one.id > fresh.id);
      place.insertBefore(fresh, after || null);
    }
    place.hidden = false;
  };
  const runEnded = (id) => {
    const place = runsUnderWay();
    const stale = document.getElementById(id);
    if (place && stale) {
      stale.remove();
      place.hidden = !place.querySelector(".under-way");
    }
  };
  // The gate of an instrument: on its row, and for a page of the bench that works at it.
  const gate = (told) => {
    for (const row of document.querySelectorAll("[data-instrument]")) {
      const says = row.querySelector("[data-gate]");
      if (row.dataset.instrument === told.instrument && says && told.state !== "open") {
        const word = document.createElement("span");
        word.className = told.state === "shut" ? "word redo" : "quiet";
        word.textContent = told.state;
        says.replaceChildren(word, " " + told.says);
      }
    }
    document.dispatchEvent(new CustomEvent("tenmesh-gate", { detail: told }));
  };
  if (version && version !== "0" && window.EventSource) {
    const live = new EventSource("/live");
    live.onmessage = (event) => heard(event.data);
    live.addEventListener("run", (event) => runUnderWay(event.data));
    live.addEventListener("run-ended", (event) => runEnded(event.data));
    live.addEventListener("gate", (event) => gate(JSON.parse(event.data)));
    window.addEventListener("pagehide", () => live.close());
  }
})();

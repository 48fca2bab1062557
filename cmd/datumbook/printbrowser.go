package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// printTime is the longest that a page may take.
const printTime = 3 * time.Minute

// browsers are the names and places that a Chromium is installed under.
var browsers = []string{
	"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge", "microsoft-edge",
	"chromium-headless-shell",
	"/Applications/Chromium.app/Contents/MacOS/Chromium",
	"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
	`C:\Program Files\Google\Chrome\Application\chrome.exe`,
	`C:\Program Files (x86)\Google\Chrome\Application\chrome.exe`,
	`C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe`,
}

// findBrowser gives the browser that draws pages.
func findBrowser() (string, error) {
	if named := os.Getenv("DATUMBOOK_BROWSER"); named != "" {
		path, err := exec.LookPath(named)
		if err != nil {
			return "", fmt.Errorf("DATUMBOOK_BROWSER names '%s', which is not there or is no program: set it to the path of a Chromium browser", named)
		}
		return path, nil
	}
	for _, name := range browsers {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("no browser was found to draw the page: install Chromium, or set DATUMBOOK_BROWSER to its path; or open the page in the app and choose 'Print or save as PDF'")
}

// paired writes what the app keeps of a pairing, before the page begins. The browser's own empty
// page has no storage.
func paired(tab context.Context, token string) error {
	kept, err := json.Marshal(map[string]string{"token": token, "device": "print", "name": "print", "role": "owner"})
	if err != nil {
		return err
	}
	text, err := json.Marshal(string(kept))
	if err != nil {
		return err
	}
	script := `try { localStorage.setItem("datumbook.pairing", ` + string(text) + `); } catch {}`
	return chromedp.Do(tab, chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		_, err := cdp.Call(ctx, to, page.AddScriptToEvaluateOnNewDocument,
			page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}

// printPage opens an address with a device's token, and prints it once the page reports that it is
// complete.
func printPage(ctx context.Context, browser, profile, address, token string) ([]byte, error) {
	ctx, stop := context.WithTimeout(ctx, printTime)
	defer stop()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(browser), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-dev-shm-usage", true))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // Chromium has no sandbox for the superuser
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(ctx, options...)
	defer stopAlloc()
	tab, stopTab := chromedp.NewContext(alloc)
	defer stopTab()
	err := paired(tab, token)
	if err == nil {
		err = chromedp.Do(tab, chromedp.Navigate(address))
	}
	if err != nil {
		return nil, fmt.Errorf("the browser %s could not open the page: %w", browser, err)
	}
	whole := `!!document.querySelector('.paper[data-ready="yes"]')`
	if _, err := chromedp.Run(tab, chromedp.Poll[bool](whole, chromedp.WithPollingInterval(100*time.Millisecond), chromedp.WithPollingTimeout(printTime))); err != nil {
		look, done := context.WithTimeout(tab, 5*time.Second)
		defer done()
		shows, _ := chromedp.Run(look, chromedp.Evaluate[string](`document.querySelector("main")?.innerText ?? ""`))
		return nil, fmt.Errorf("the page did not come up whole (%w); it shows: %s", err, shows)
	}
	pdf, err := chromedp.Run(tab, chromedp.PrintToPDF(chromedp.PDFPrintBackground(), func(p *page.PrintToPDFParams) {
		p.PreferCSSPageSize = new(true) // the page sets the size of paper
	}))
	if err != nil {
		return nil, fmt.Errorf("the browser could not print the page: %w", err)
	}
	if err := chromedp.Cancel(tab); err != nil {
		return nil, fmt.Errorf("the browser did not end: %w", err)
	}
	return pdf, nil
}

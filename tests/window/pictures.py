from tests.window import screenshots

raise SystemExit(screenshots.main())

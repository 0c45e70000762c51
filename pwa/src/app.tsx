import { ErrorBoundary, lazy, LocationProvider, Route, Router } from "preact-iso";
import { Shell } from "./shell";
import { Bench } from "./screens/Bench";

const Desk = lazy(() => import("./screens/Desk").then((m) => m.Desk));
const Stones = lazy(() => import("./screens/Stones").then((m) => m.Stones));
const Intake = lazy(() => import("./screens/Intake").then((m) => m.Intake));
const Stone = lazy(() => import("./screens/Stone").then((m) => m.Stone));
const ChangeStone = lazy(() => import("./screens/ChangeStone").then((m) => m.ChangeStone));
const Inspect = lazy(() => import("./screens/Inspect").then((m) => m.Inspect));
const Trial = lazy(() => import("./screens/Trial").then((m) => m.Trial));
const Publish = lazy(() => import("./screens/Publish").then((m) => m.Publish));
const Review = lazy(() => import("./screens/Review").then((m) => m.Review));
const Plan = lazy(() => import("./screens/Plan").then((m) => m.Plan));
const Pooled = lazy(() => import("./screens/Pooled").then((m) => m.Pooled));
const Agreement = lazy(() => import("./screens/Agreement").then((m) => m.Agreement));
const Testers = lazy(() => import("./screens/Testers").then((m) => m.Testers));
const Tester = lazy(() => import("./screens/Testers").then((m) => m.Tester));
const Match = lazy(() => import("./screens/Match").then((m) => m.Match));
const Shortlist = lazy(() => import("./screens/Match").then((m) => m.Shortlist));
const Protocols = lazy(() => import("./screens/Protocols").then((m) => m.Protocols));
const Protocol = lazy(() => import("./screens/Protocols").then((m) => m.Protocol));
const Work = lazy(() => import("./screens/Work").then((m) => m.Work));
const Rules = lazy(() => import("./screens/Rules").then((m) => m.Rules));
const Lap = lazy(() => import("./screens/Lap").then((m) => m.Lap));
const Export = lazy(() => import("./screens/Export").then((m) => m.Export));
const Club = lazy(() => import("./screens/Club").then((m) => m.Club));
const Join = lazy(() => import("./screens/Join").then((m) => m.Join));
const Practice = lazy(() => import("./screens/Practice").then((m) => m.Practice));
const Guide = lazy(() => import("./screens/Guide").then((m) => m.Guide));
const Mine = lazy(() => import("./screens/Mine").then((m) => m.Mine));
const Me = lazy(() => import("./screens/Me").then((m) => m.Me));
const SignIn = lazy(() => import("./screens/SignIn").then((m) => m.SignIn));
const NotHere = lazy(() => import("./screens/NotHere").then((m) => m.NotHere));

/** Routes only. A screen gets its path parameters as props, for instance `{ id: string }`. */
export function App() {
  return (
    <LocationProvider>
      <ErrorBoundary>
        <Shell>
          <Router>
            <Route path="/" component={Bench} />
            <Route path="/desk" component={Desk} />
            <Route path="/stones" component={Stones} />
            <Route path="/intake" component={Intake} />
            <Route path="/stones/:id" component={Stone} />
            <Route path="/stones/:id/change" component={ChangeStone} />
            <Route path="/stones/:id/inspect" component={Inspect} />
            <Route path="/stones/:id/trial" component={Trial} />
            <Route path="/stones/:id/lap" component={Lap} />
            <Route path="/stones/:id/publish" component={Publish} />
            <Route path="/stones/:id/review" component={Review} />
            <Route path="/work" component={Work} />
            <Route path="/rules" component={Rules} />
            <Route path="/plan" component={Plan} />
            <Route path="/pooled" component={Pooled} />
            <Route path="/agreement" component={Agreement} />
            <Route path="/testers" component={Testers} />
            <Route path="/testers/:id" component={Tester} />
            <Route path="/match" component={Match} />
            <Route path="/match/:id" component={Shortlist} />
            <Route path="/protocols" component={Protocols} />
            <Route path="/protocols/:id" component={Protocol} />
            <Route path="/mine" component={Mine} />
            <Route path="/guide" component={Guide} />
            <Route path="/practice" component={Practice} />
            <Route path="/export" component={Export} />
            <Route path="/club" component={Club} />
            <Route path="/join/:token" component={Join} />
            <Route path="/me" component={Me} />
            <Route path="/sign-in" component={SignIn} />
            <Route default component={NotHere} />
          </Router>
        </Shell>
      </ErrorBoundary>
    </LocationProvider>
  );
}
